"""Parts over parts, ducts and edges: the figures by hand, and shapely on positions drawn at random."""

from __future__ import annotations

from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from laid_plates import APART, SIZES, plate
from marked_plans import fired, open_questions
from says import assert_says
from shapely.geometry import box

SLUG = "part-in-the-way"
DUCT = ", ducts: {low: {at: 0 x 200 mm, length: 349 mm, size: 40 x 60 mm}}"


def test_parts_apart_are_quiet_and_parts_that_touch_too() -> None:
    assert not fired(SLUG, plate(APART))
    assert not fired(SLUG, plate(APART | {"F1": "90 x 300 mm"}))


def test_what_it_says_of_a_part_beyond_its_rail() -> None:
    """The rail ends at 240 mm, K1 stands from 230 to 275: 35 mm of it have no rail."""
    rails = ", rails: {a: {at: 40 x 340 mm, length: 200 mm}}"
    [finding] = fired(SLUG, plate(APART, enclosure=rails))
    assert finding.subjects == ("K1",)
    assert_says(finding, "NOTICE", number=("without rail", (230 + 45 - 240) / 1000, "m"), mend="Move K1")


def test_a_part_over_a_duct_names_it() -> None:
    [finding] = fired(SLUG, plate(APART | {"F1": "50 x 220 mm"}, enclosure=DUCT))
    assert finding.subjects == ("F1",)
    assert "low" in finding.summary


def test_a_duct_and_a_rail_that_reach_beyond_the_plate() -> None:
    """The plate is 349 mm wide."""
    wide = (
        ", ducts: {a: {at: 0 x 10 mm, length: 350 mm, size: 40 x 60 mm}}, rails: {b: {at: 20 x 340 mm, length: 330 mm}}"
    )
    found = fired(SLUG, plate(APART, enclosure=wide))
    assert sorted(one.subjects for one in found) == [("a",), ("b",)]
    assert all("349 x 470 mm" in one.mend[0] for one in found)


def test_a_part_without_a_position_is_asked_for() -> None:
    found = open_questions(SLUG, plate({"F1": "50 x 300 mm"}))
    assert [(one.subjects, "position" in one.missing) for one in found] == [(("G1", "K1"), True)]
    assert not open_questions(SLUG, plate({}))


def test_a_duct_that_ends_before_a_part_of_its_row_is_cut_longer() -> None:
    """The duct ends at 180 mm; K9 stands from 230 to 275 mm over nothing: 95 mm more of duct would pass below it."""
    body = """
enclosure: {size: 400 x 500 x 200 mm, ducts: {low: {at: 20 x 200 mm, length: 160 mm, size: 40 x 60 mm}}}
parts:
  K8: {kind: relay, coil: 24 V DC 1 W, contacts: {11-14: NO}, size: 45 x 80 x 60 mm, position: 50 x 300 mm}
  K9: {kind: relay, coil: 24 V DC 1 W, contacts: {11-14: NO}, size: 45 x 80 x 60 mm, position: 230 x 300 mm}
wires:
  - {wire: 1, from: "K8:11", to: "K9:11", size: 1 mm2}
"""
    [finding] = fired(SLUG, design(body))
    assert finding.subjects == ("low", "K9")
    assert_says(finding, "NOTICE", number=("without duct", (275 - 180) / 1000, "m"), mend="Cut low 255 mm long")
    longer = [edit.value for edit in finding.mends[0].edits]
    assert longer == ["20 x 200 mm", "255 mm"]
    assert not fired(SLUG, design(body.replace("length: 160 mm", "length: 255 mm")))


def test_ducts_that_do_not_meet_are_told_with_what_lies_in_both() -> None:
    """Two ducts across at 100 and 300 mm; an upright one joins them, or ends 60 mm below the upper one."""
    body = """
enclosure: {size: 400 x 500 x 200 mm, ducts: {
  low: {at: 40 x 100 mm, length: 300 mm, size: 40 x 60 mm}, high: {at: 40 x 300 mm, length: 300 mm, size: 40 x 60 mm},
  side: {at: 0 x 100 mm, length: LENGTH, size: 40 x 60 mm, run: up}}}
parts:
  K8: {kind: relay, coil: 24 V DC 1 W, contacts: {11-14: NO}, size: 45 x 80 x 60 mm, position: 50 x 10 mm}
  K9: {kind: relay, coil: 24 V DC 1 W, contacts: {11-14: NO}, size: 45 x 80 x 60 mm, position: 230 x 380 mm}
wires:
  - {wire: 1, from: "K8:11", to: "K9:11", size: 1 mm2}
"""
    assert not fired(SLUG, design(body.replace("LENGTH", "240 mm")))
    [finding] = fired(SLUG, design(body.replace("LENGTH", "140 mm")))
    assert finding.subjects == ("high", "low")
    assert "1 lies in both" in finding.summary


@given(spots=st.lists(st.tuples(st.integers(0, 400), st.integers(0, 480)), min_size=3, max_size=3))
def test_it_fires_as_shapely_sees_it(spots: list[tuple[int, int]]) -> None:
    positions = {name: f"{x} x {y} mm" for name, (x, y) in zip(SIZES, spots, strict=True)}
    wide = {name: [float(one) for one in text.removesuffix(" mm").split(" x ")] for name, text in SIZES.items()}
    shapes = {n: box(x, y, x + wide[n][0], y + wide[n][1]) for n, (x, y) in zip(SIZES, spots, strict=True)}
    board = box(0, 0, 349, 470)
    wrong = {name for name, shape in shapes.items() if not board.covers(shape)}
    wrong |= {f"{a} {b}" for a in shapes for b in shapes if a < b and shapes[a].intersection(shapes[b]).area > 0}
    told = {" ".join(sorted(one.subjects)) for one in fired(SLUG, plate(positions))}
    assert told == wrong
