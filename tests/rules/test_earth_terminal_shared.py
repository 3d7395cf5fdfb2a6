"""One protective conductor a point (IEC 60204-1, 8.2.4, from memory), unless the maker of the part allows more."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "earth-terminal-shared"


def test_two_on_one_point_of_the_bar() -> None:
    assert_marked(
        plan(
            "MP: {kind: metalwork}\nDR: {kind: metalwork}",
            "- {wire: PE1, from: XPE:3, to: MP:1}\n- {wire: PE2, from: XPE:3, to: DR:1}   #! earth-terminal-shared",
        )
    )


def test_a_chain_from_part_to_part() -> None:
    assert_marked(
        plan(
            "MP: {kind: metalwork}\nDR: {kind: metalwork}",
            "- {wire: PE1, from: XPE:3, to: MP:1}\n- {wire: PE2, from: MP:1, to: DR:1}   #! earth-terminal-shared",
        )
    )


@pytest.mark.parametrize(
    ("given_count", "wired", "fires"), [(None, 1, False), (None, 2, True), (2, 2, False), (2, 3, True)]
)
def test_the_limit_is_one_or_what_the_maker_allows(given_count: int | None, wired: int, fires: bool) -> None:
    allowed = f", wires_per_terminal: {given_count}" if given_count else ""
    parts = f"XP2: {{kind: earth-bar, points: 2{allowed}}}\n" + "\n".join(
        f"M{n}: {{kind: metalwork}}" for n in range(wired)
    )
    wires = "\n".join(f"- {{wire: P{n}, from: XP2:1, to: M{n}:1}}" for n in range(wired))
    assert bool(fired(SLUG, design(plan(parts, wires)))) is fires


def test_a_row_of_terminals_takes_one_on_either_side() -> None:
    body = plan(
        "X9: {kind: terminals, points: 2, earth_points: ['1']}\nM1: {kind: metalwork}",
        "- {wire: P1, from: XPE:3, to: X9:1}\n- {wire: P2, from: X9:1, to: M1:1}",
    )
    assert fired(SLUG, design(body)) == []


@given(st.lists(st.integers(1, 6), min_size=1, max_size=8))
def test_as_many_findings_as_points_with_more_than_one(points: list[int]) -> None:
    """Counted by hand: every point named twice or more is one finding, whatever the order."""
    parts = "XP2: {kind: earth-bar, points: 6}\n" + "\n".join(f"M{n}: {{kind: metalwork}}" for n in range(len(points)))
    wires = "\n".join(f"- {{wire: P{n}, from: 'XP2:{point}', to: M{n}:1}}" for n, point in enumerate(points))
    expected = sum(points.count(point) > 1 for point in set(points))
    assert len(fired(SLUG, design(plan(parts, wires)))) == expected


def test_what_it_says() -> None:
    """IEC 60204-1 8.2.4: 1 protective conductor a point; the plan has 2."""
    [finding] = fired(
        SLUG,
        design(
            plan(
                "MP: {kind: metalwork}\nDR: {kind: metalwork}",
                "- {wire: PE1, from: XPE:3, to: MP:1}\n- {wire: PE2, from: XPE:3, to: DR:1}",
            )
        ),
    )
    assert_says(
        finding,
        "CAUTION",
        limit=(1.0, "", "IEC 60204-1 8.2.4"),
        number=("conductors", 2.0, ""),
        mend="a point of its own; 1 more",
    )
