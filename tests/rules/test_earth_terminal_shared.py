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


@pytest.mark.parametrize(
    ("first", "onward", "told"),
    [
        ("G5", "G6", ("G5", "G6")),  # the second supply stays fed when the first is taken out
        ("G5", "FR", ("G5", "FR")),
        ("MP", "G6", None),  # a part of the structure is not taken out
    ],
)
def test_what_stays_fed_keeps_its_earth(first: str, onward: str, told: tuple[str, str] | None) -> None:
    """IEC 60204-1, 8.2.3, from memory: a part that is removed does not interrupt the circuit of the others."""
    terminal = {"G5": "G5:PE", "G6": "G6:PE", "FR": "FR:1", "MP": "MP:1"}
    supply = "{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, wires_per_terminal: 2}"
    body = plan(
        f"G5: {supply}\nG6: {supply}\nMP: {{kind: metalwork, wires_per_terminal: 2}}\nFR: {{kind: metalwork}}",
        "- {wire: 81, star: {from: X0:L, to: [G5:L, G6:L]}}\n- {wire: 82, star: {from: X0:N, to: [G5:N, G6:N]}}\n"
        f"- {{wire: P1, from: XPE:3, to: {terminal[first]}}}\n"
        f"- {{wire: P2, from: {terminal[first]}, to: {terminal[onward]}}}",
    )
    found = [one.subjects for one in fired(SLUG, design(body))]
    assert found == ([(*told, "P2")] if told else [])


def test_a_motor_may_be_earthed_at_its_own_drive() -> None:
    body = plan(
        "T1: {kind: inverter, supply: 200..240 V AC, rated: 0.75 kW, wires_per_terminal: 2}\n"
        "M1: {kind: motor, voltage: 230 V AC, phases: 3, rated_power: 370 W}",
        "- {wire: 81, from: X0:L, to: T1:L}\n- {wire: 82, from: X0:N, to: T1:N}\n"
        "- {wire: 1, from: T1:U, to: M1:U}\n- {wire: 2, from: T1:V, to: M1:V}\n- {wire: 3, from: T1:W, to: M1:W}\n"
        "- {wire: P1, from: XPE:3, to: T1:PE}\n- {wire: P2, from: T1:PE, to: M1:PE}",
    )
    assert fired(SLUG, design(body)) == []


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
