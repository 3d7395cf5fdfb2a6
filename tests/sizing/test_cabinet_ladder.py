"""The cabinet and its ducts among the sizes that are suggested: the least usual ones that hold what goes into them."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.cabinet.box import usual_boxes_for
from wiring.cabinet.layout import lay_out
from wiring.cabinet.records import Layout
from wiring.changes.outcome import Outcome, outcome_of
from wiring.changes.proposals import proposals
from wiring.changes.suggest import suggest
from wiring.findings import Mend
from wiring.plan.edits import SetValue
from wiring.plan.records import Box
from wiring.rules.run import judge
from wiring.sizing.cabinet_ladder import cabinet_asked, cabinet_ladder
from wiring.sizing.duct_ladders import duct_ladders
from wiring.sizing.mends import with_mends

SPECS = Path(__file__).parents[2] / "specs"


def spec(name: str, old: str = "", new: str = "") -> str:
    """The text of a spec, with one thing changed."""
    text = (SPECS / f"{name}.yaml").read_text(encoding="utf-8")
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(
    ("name", "size", "small"),
    [
        ("coil-winder", "600 x 760 x 210 mm", "500 x 500 x 210 mm"),
        ("bench-press-feeder", "24 x 36 x 10 in", "16 x 20 x 8 in"),
    ],
)
def test_the_least_cabinet_that_holds_the_parts_is_asked(name: str, size: str, small: str) -> None:
    """No usual cabinet before it in the ladder holds them, by the layout itself."""
    base = outcome_of(spec(name, size, small), f"{name}.yaml", SPECS).design
    [asked] = cabinet_asked(base)
    [ladder] = cabinet_ladder(base)
    assert ladder.present.words == small
    assert ladder.steps[int(asked.least)].words == size
    for box in usual_boxes_for(base.plan)[: int(asked.least) - 1]:
        found = lay_out(base.circuit, box)
        assert not isinstance(found, Layout) or found.unplaced


def test_a_cabinet_that_holds_its_parts_is_left_alone() -> None:
    base = outcome_of(spec("coil-winder"), "coil-winder.yaml", SPECS)
    assert cabinet_asked(base.design) == ()


def test_the_suggestion_writes_the_size() -> None:
    base = outcome_of(spec("coil-winder", "600 x 760 x 210 mm", "500 x 500 x 210 mm"), "coil-winder.yaml", SPECS)
    found = suggest(base, 0.2)
    [row] = [one for one in found.rows if one.sort == "cabinet"]
    assert (row.before, row.after) == ("500 x 500 x 210 mm", "600 x 760 x 210 mm")
    enclosure = found.result.design.plan.enclosure
    assert enclosure is not None
    assert enclosure.size == Box(0.6, 0.76, 0.21)
    assert found.clear


def test_every_usual_cabinet_is_written_as_it_is_read() -> None:
    for book in ("iec", "na"):
        plan = outcome_of(f"format: 1\nmachine: a\nrulebook: {book}\nparts: {{}}\n", "plan.yaml", SPECS).design.plan
        for box in usual_boxes_for(plan):
            read = Box.read(box.words(book))
            assert (read.width, read.height, read.depth) == pytest.approx(
                (box.width / 1000, box.height / 1000, box.depth / 1000)
            )


def in_a_duct(wires: int, duct: str, low: str) -> Outcome:
    """So many wires of 1.5 mm2 between two rows of terminals that stand so high over a duct on the plate."""
    lines = "".join(f"  - {{wire: {n}, from: X1:{n}, to: X2:{n}, size: 1.5 mm2}}\n" for n in range(1, wires + 1))
    row = f"kind: terminals, points: {wires}, size: 200 x 60 x 50 mm"
    text = f"""format: 1
machine: Two rows of terminals
rulebook: iec
enclosure: {{size: 900 x 500 x 200 mm, ducts: {{low: {{at: 0 x 100 mm, length: 849 mm, size: {duct}}}}}}}
parts:
  X1: {{{row}, position: 10 x {low}}}
  X2: {{{row}, position: 600 x {low}}}
wires:
{lines}"""
    return outcome_of(text, "plan.yaml", SPECS)


def mends_of(base: Outcome) -> list[Mend]:
    """What is worked out for the one duct that is too full."""
    report = with_mends(base.design, judge(base.design))
    [finding] = [one for one in report.findings if one.rule == "duct-overfilled"]
    return list(finding.mends)


def test_a_duct_that_is_too_full_takes_the_next_size_deeper_before_wider() -> None:
    """By hand: a wire of 1.5 mm2 is 3.4 mm thick (EN 50525-2-31, from memory), 9.08 mm2. Half of a duct may be filled
    (common practice): 60 wires ask for 1090 mm2, which 40 x 40 mm has (1600) and 25 x 40 mm has not (1000)."""
    base = in_a_duct(60, "25 x 40 mm", "250 mm")
    first = mends_of(base)[0]
    assert [edit.value for edit in first.edits] == ["40 x 40 mm"]  # type: ignore[union-attr]
    assert "duct-overfilled" not in {one.rule for one in judge(base.changed(first.edits).design).findings}
    [row] = [one for one in suggest(base, 0.2, ["low"]).rows if one.sort == "duct"]
    assert (row.before, row.after) == ("25 x 40 mm", "40 x 40 mm")
    deep = in_a_duct(270, "60 x 60 mm", "250 mm")  # 4903 mm2: 60 x 80 mm has 4800, 80 x 80 mm has 6400
    assert [edit.value for edit in mends_of(deep)[0].edits] == ["80 x 80 mm"]  # type: ignore[union-attr]
    less = in_a_duct(230, "60 x 60 mm", "250 mm")  # 4176 mm2
    assert [edit.value for edit in mends_of(less)[0].edits] == ["60 x 80 mm"]  # type: ignore[union-attr]


def test_a_duct_grows_over_no_part() -> None:
    """The rows stand 5 mm above the duct of 25 mm: one of 40 mm has no room there."""
    [ladder] = duct_ladders(in_a_duct(60, "25 x 40 mm", "130 mm").design)
    assert [step.words for step in ladder.steps] == ["25 x 40 mm"]
    first = mends_of(in_a_duct(60, "25 x 40 mm", "130 mm"))[0]
    assert not first.edits
    assert "40 x 40 mm would lie over X1" in first.words


def test_thicker_wires_bring_a_larger_duct_with_them() -> None:
    """30 wires of 1.5 mm2 are 272 mm2 and fill half of 25 x 40 mm to 54 %; of 6 mm2, 5.6 mm thick (EN 50525-2-31, from
    memory), they are 739 mm2 and ask for 1478 mm2: 40 x 40 mm."""
    before = in_a_duct(30, "25 x 40 mm", "250 mm")
    edits = [SetValue(("wires", str(n), "size"), "6 mm2") for n in range(1, 31)]
    [found] = proposals(before, before.changed(edits))
    assert found.clears
    assert found.words == ("low: 40 x 40 mm in place of 25 x 40 mm",)
