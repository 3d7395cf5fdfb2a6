"""A device carries its rated current for ever and no more (IEC 60269-1, IEC 60898-1: rated current)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, folded_under
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "protection-below-load"


def branch(rating: str, watts: float, kind: str = "fuse, class: T, rated_voltage: 60 V DC", mark: str = "") -> str:
    return plan(
        f"F5: {{kind: {kind}, rating: {rating}}}{mark}\n"
        f"E5: {{kind: load, rated: 24 V DC {watts} W, behaviour: current}}",
        """
        - {wire: 51, from: X1:2, to: "F5:1", size: 1.5 mm2, length: 1 m}
        - {wire: 52, from: "F5:2", to: "E5:1", size: 1.5 mm2, length: 1 m}
        - {wire: 53, from: X2:2, to: "E5:2", size: 1.5 mm2, length: 1 m}
        """,
    )


def test_four_amperes_behind_two() -> None:
    assert_marked(branch("2 A", 96.0, mark="   #! protection-below-load"))


@pytest.mark.parametrize("kind", ["fuse, class: gG", "breaker, curve: C, dc_voltage: 60 V DC", "electronic-fuse"])
@pytest.mark.parametrize(("watts", "fires"), [(96.0, False), (98.5, True)])
def test_the_limit_is_the_rated_current(kind: str, watts: float, fires: bool) -> None:
    """96 W at 24 V are 4.00 A; 98.5 W are 4.10 A, above the 2 % that the rule leaves to voltage drops."""
    assert bool(fired(SLUG, design(branch("4 A", watts, kind)))) is fires


@pytest.mark.parametrize(("watts", "fires"), [(99.8, False), (102.0, True)])
def test_a_motor_protector_bears_its_setting_and_a_twentieth(watts: float, fires: bool) -> None:
    """4.16 A and 4.25 A: it must not trip at 1.05 of its setting, 4.20 A (IEC 60947-4-1:2018, table 2, from memory)."""
    text = branch("4 A", watts, "motor-protector").replace("rating: 4 A", "poles: 1, setting: 4 A")
    assert bool(fired(SLUG, design(text))) is fires


def lamps(rating: str, *watts: float) -> str:
    """A load of 0.1 A, and lamps behind push-buttons that no state presses."""
    parts = f"F5: {{kind: fuse, rating: {rating}, class: T, rated_voltage: 60 V DC}}\n"
    parts += "E9: {kind: load, rated: 24 V DC 2.4 W, behaviour: current}\n"
    parts += "X5: {kind: terminals, points: 9, bridged: [1-9]}\n"
    wires = "- {wire: 51, from: X1:2, to: 'F5:1'}\n- {wire: 52, from: 'F5:2', to: X5:1}\n"
    wires += "- {wire: 53, from: X5:2, to: 'E9:1'}\n- {wire: 54, from: X2:2, to: 'E9:2'}\n"
    for n, power in enumerate(watts, 1):
        parts += f"S{n}: {{kind: push-button, contacts: {{13-14: NO}}}}\n"
        parts += f"H{n}: {{kind: lamp, rated: 24 V DC {power} W}}\n"
        wires += f"- {{wire: 6{n}, from: X5:{n + 2}, to: S{n}:13}}\n- {{wire: 7{n}, from: S{n}:14, to: H{n}:X1}}\n"
        wires += f"- {{wire: 8{n}, from: X2:{n + 3}, to: H{n}:X2}}\n"
    return plan(parts, wires)


@pytest.mark.parametrize(
    ("watts", "signal"),
    [((45.0,), None), ((48.0,), Signal.CAUTION), ((24.0, 24.0), Signal.NOTICE), ((12.0, 12.0), None)],
)
def test_what_a_hand_switches_on_comes_on_top(watts: tuple[float, ...], signal: Signal | None) -> None:
    """0.1 A and 1.88 A or 2 A of one lamp behind 2 A; two lamps of 1 A need not be on at once."""
    found = fired(SLUG, design(lamps("2 A", *watts)))
    assert [finding.signal for finding in found] == ([signal] if signal else [])


def test_a_load_that_its_supply_cannot_carry_either_is_told_there() -> None:
    assert "supply-overloaded" in folded_under(SLUG, design(branch("2 A", 480.0)))


@given(st.floats(5.0, 200.0), st.floats(1.0, 50.0))
def test_a_larger_load_is_never_better(watts: float, more: float) -> None:
    first, second = (bool(fired(SLUG, design(branch("3 A", round(w, 1))))) for w in (watts, watts + more))
    assert second or not first


def test_what_it_says() -> None:
    """IEC 60204-1 7.2.10: the load is at most the rating, 4 A; 98.5 W at 24 V are 4.1 A; 5 A is next (IEC 60269)."""
    [finding] = fired(SLUG, design(branch("4 A", 98.5, "fuse, class: gG")))
    assert_says(
        finding,
        "CAUTION",
        limit=(4.0, "A", "IEC 60204-1 7.2.10"),
        number=("load", 98.5 / 24, "A"),
        mend="Take 5 A for F5",
    )
