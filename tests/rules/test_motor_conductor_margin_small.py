"""Conductors of a single motor under NFPA 79 12.5.2: 125 % of its full-load current (from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "motor-conductor-margin-small"


def motor(amps: float, size: str, rated: bool = True) -> str:
    current = f", rated_current: {amps} A" if rated else ""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, upstream: {{kind: breaker, rating: 60 A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 15 A}}
  M1: {{kind: motor, voltage: 120 V AC, phases: 1, rated_power: 0.2 kW{current}, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: M1:U1, size: {size}, insulation: TW, length: 0.1 m}}
  - {{wire: 2, from: X0:N, to: M1:U2, size: 4 AWG, insulation: TW, length: 0.1 m}}
"""


# NFPA 79:2021 table 12.5.1, 60 °C column, from memory: 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A; divided by 1.25 these
# carry motors of 12, 16 and 24 A.
@pytest.mark.parametrize(("size", "most"), [("14 AWG", 12.0), ("12 AWG", 16.0), ("10 AWG", 24.0)])
def test_the_limit_is_125_percent(size: str, most: float) -> None:
    assert fired(SLUG, design(motor(most - 0.05, size), "na")) == []
    [finding] = fired(SLUG, design(motor(most + 0.05, size), "na"))
    assert finding.subjects == ("1", "M1")
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(1.25 * (most + 0.05))


def test_the_iec_book_asks_for_no_margin() -> None:
    assert fired(SLUG, design(motor(14.0, "14 AWG"))) == []


def test_a_motor_without_current_is_asked_for_it() -> None:
    plan = design(motor(0, "14 AWG", rated=False), "na")
    assert fired(SLUG, plan) == []
    [item] = open_questions(SLUG, plan)
    assert "`rated_current`" in item.missing


def test_it_points_at_the_conductor() -> None:
    assert_marked(
        """
mains: {inlet: X0, system: single-phase, voltage: 120 V, upstream: {kind: breaker, rating: 15 A, curve: C}}
site: {ambient: 30 °C}
parts:
  X0: {kind: inlet, rated: 15 A}
  F1: {kind: motor-protector, poles: 2, setting: 13 A}
  M1: {kind: motor, voltage: 120 V AC, phases: 1, rated_power: 0.75 kW, rated_current: 13 A, metal: false}
wires:
  - {wire: 1, from: X0:L, to: F1:1, size: 10 AWG, insulation: MTW, length: 1 m, colour: BK}
  - {wire: 2, from: X0:N, to: F1:3, size: 10 AWG, insulation: MTW, length: 1 m, colour: WH}
  - {wire: 3, from: F1:2, to: M1:U1, size: 14 AWG, insulation: MTW, length: 1 m}  #! motor-conductor-margin-small
  - {wire: 4, from: F1:4, to: M1:U2, size: 10 AWG, insulation: MTW, length: 1 m, colour: WH}
""",
        "na",
    )


@given(st.floats(1, 14.9), st.sampled_from([("14 AWG", "12 AWG"), ("12 AWG", "8 AWG")]))
def test_a_thicker_conductor_never_loses_margin(amps: float, sizes: tuple[str, str]) -> None:
    """Where the thin one is not overloaded outright, which is told by its own rule."""
    thin = len(fired(SLUG, design(motor(round(amps, 3), sizes[0]), "na")))
    thick = len(fired(SLUG, design(motor(round(amps, 3), sizes[1]), "na")))
    assert thick <= thin


def two_motors(size: str, states: str = "", heater: str = "") -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, upstream: {{kind: breaker, rating: 60 A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 50 A}}
  XL: {{kind: terminals, points: 4, bridged: [1-4]}}
  XN: {{kind: terminals, points: 4, bridged: [1-4]}}
  M1: {{kind: motor, voltage: 120 V AC, phases: 1, rated_power: 0.5 kW, rated_current: 12 A, metal: false}}
  M2: {{kind: motor, voltage: 120 V AC, phases: 1, rated_power: 0.2 kW, rated_current: 6 A, metal: false}}
{heater}
wires:
  - {{wire: 1, from: X0:L, to: XL:1, size: {size}, insulation: TW, length: 0.1 m}}
  - {{wire: 2, from: "X0:N", to: XN:1, size: 4 AWG, insulation: TW, length: 0.1 m}}
  - {{wire: 3, from: XL:2, to: M1:U1, size: 4 AWG, insulation: TW, length: 0.1 m}}
  - {{wire: 4, from: XN:2, to: M1:U2, size: 4 AWG, insulation: TW, length: 0.1 m}}
  - {{wire: 5, from: XL:3, to: M2:U1, size: 4 AWG, insulation: TW, length: 0.1 m}}
  - {{wire: 6, from: XN:3, to: M2:U2, size: 4 AWG, insulation: TW, length: 0.1 m}}
{states}
"""


HEATER = "  E1: {kind: heater, rated: 120 V AC 1200 W, metal: false}"
HEATED = (
    "  - {wire: 7, from: XL:4, to: E1:1, size: 4 AWG, insulation: TW, length: 0.1 m}\n"
    "  - {wire: 8, from: XN:4, to: E1:2, size: 4 AWG, insulation: TW, length: 0.1 m}"
)


# NFPA 70, 430.24: 125 % of 12 A and 6 A are 21 A; with a heater of 10 A 31 A. 12 AWG carries 20 A, 10 AWG 30 A, 8 AWG
# 40 A (table 12.5.1, 60 °C).
@pytest.mark.parametrize(
    ("body", "needed"),
    [
        (two_motors("12 AWG"), 21.0),
        (two_motors("10 AWG"), None),
        (two_motors("10 AWG", HEATED, HEATER), 31.0),
        (two_motors("8 AWG", HEATED, HEATER), None),
    ],
)
def test_a_conductor_of_several_motors(body: str, needed: float | None) -> None:
    found = fired(SLUG, design(body, "na"))
    assert [finding.subjects for finding in found] == ([("1", "M1", "M2")] if needed else [])
    if needed:
        assert found[0].limit is not None
        assert found[0].limit.value == pytest.approx(needed, rel=0.03)


def test_motors_that_never_run_together_are_not_added() -> None:
    """NFPA 70, 430.24 exception 3: 125 % of 12 A are 15 A, within the 20 A of 12 AWG."""
    states = "states:\n  first: {M1: run, M2: off}\n  second: {M1: off, M2: run}"
    assert fired(SLUG, design(two_motors("12 AWG", states), "na")) == []


def test_what_it_says() -> None:
    """NFPA 70 430.22: 125 % of 12.05 A; table 12.5.1 of NFPA 79 gives 14 AWG 15 A at 60 °C, 12 AWG 20 A."""
    [finding] = fired(SLUG, design(motor(12.05, "14 AWG"), "na"))
    assert_says(
        finding,
        "CAUTION",
        limit=(1.25 * 12.05, "A", "NFPA 70 430.22"),
        number=("ampacity", 15.0, "A"),
        mend="Make 1 of 12 AWG",
    )
