"""Converters in a ring."""

from __future__ import annotations

from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "converter-loop"


def chain(feeds: dict[str, str]) -> str:
    parts = "".join(
        f"  {name}: {{kind: converter, input: 18..36 V DC, output: 24 V DC, rated: 2 A}}\n" for name in feeds
    )
    wires = "".join(
        f"  - {{wire: {n}P, from: {source}:V+, to: {name}:IN+}}\n"
        f"  - {{wire: {n}M, from: {source}:V-, to: {name}:IN-}}\n"
        for n, (name, source) in enumerate(feeds.items())
    )
    supply = "  G9: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A}\n"
    return f"\nparts:\n{parts}{supply}wires:\n{wires}"


def test_a_ring_of_three_is_told_once_and_in_the_order_of_the_power() -> None:
    found = fired(SLUG, design(chain({"G1": "G2", "G2": "G3", "G3": "G1"})))
    assert len(found) == 1
    assert set(found[0].subjects) == {"G1", "G2", "G3"}
    assert any(path in found[0].summary for path in ("G1 → G3 → G2", "G3 → G2 → G1", "G2 → G1 → G3"))


def test_a_converter_that_feeds_itself() -> None:
    assert [item.subjects for item in fired(SLUG, design(chain({"G1": "G1"})))] == [("G1",)]


def test_a_cascade_from_a_supply_is_no_ring() -> None:
    assert not fired(SLUG, design(chain({"G1": "G9", "G2": "G1", "G3": "G2"})))


def test_what_hangs_on_a_ring_is_not_part_of_it() -> None:
    found = fired(SLUG, design(chain({"G1": "G2", "G2": "G1", "G3": "G1"})))
    assert [sorted(item.subjects) for item in found] == [["G1", "G2"]]


def test_the_finding_points_at_the_ring() -> None:
    found = fired(SLUG, design(chain({"G1": "G2", "G2": "G1"})))
    assert found[0].place is not None
    assert found[0].place.line in (6, 7)


def test_what_it_says() -> None:
    """Every rail comes from a source; the ring has 1 converter."""
    [finding] = fired(SLUG, design(chain({"G1": "G1"})))
    assert_says(finding, "WARNING", number=("converters", 1.0, ""), mend="from a supply instead")
