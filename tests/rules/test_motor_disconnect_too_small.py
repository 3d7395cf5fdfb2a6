"""Disconnecting means of motors: 115 % of the full-load current (NFPA 70 430.110(A))."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "motor-disconnect-too-small"


def body(rated: str, motor: str = "rated_power: 0.7 kW, rated_current: 10 A") -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, fault_current: 50 kA,
        upstream: {{kind: breaker, rating: 30 A, curve: D}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 30 A}}
  Q0: {{kind: disconnector, poles: 2, lockable: true{rated}}}
  M1: {{kind: motor, voltage: 115 V AC, phases: 1, {motor}, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: Q0:1, size: 8 AWG, insulation: MTW, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: Q0:3, size: 8 AWG, insulation: MTW, length: 1 m}}
  - {{wire: 3, from: Q0:2, to: M1:U1, size: 8 AWG, insulation: MTW, length: 1 m}}
  - {{wire: 4, from: Q0:4, to: M1:U2, size: 8 AWG, insulation: MTW, length: 1 m}}
"""


@pytest.mark.parametrize(("rated", "fires"), [("11.5 A", False), ("11.4 A", True), ("16 A", False)])
def test_115_percent_of_one_motor(rated: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(body(f", rated: {rated}"), "na"))) is fires
    assert fired(SLUG, design(body(f", rated: {rated}"))) == []


def test_what_is_missing_is_asked() -> None:
    assert "rated current" in open_questions(SLUG, design(body(""), "na"))[0].missing
    found = open_questions(SLUG, design(body(", rated: 16 A", "rated_power: 0.7 kW"), "na"))
    assert "M1" in found[0].missing


def test_what_it_says() -> None:
    """NFPA 70 430.110: 115 % of the 10 A of the plate; the first switch that is sold has 16 A (IEC 60947-3,
    from memory)."""
    [finding] = fired(SLUG, design(body(", rated: 11.4 A"), "na"))
    assert_says(
        finding,
        "CAUTION",
        limit=(1.15 * 10, "A", "NFPA 70 430.110(A) and (C)"),
        number=("full load", 10.0, "A"),
        mend="16 A or more",
    )


def test_two_motors_of_which_one_runs_at_a_time_are_one_motor_to_the_switch() -> None:
    """NFPA 70 430.110(C): the loads that may be on at the same time: 115 % of 10 A, not of 20 A."""
    two = body(", rated: 11.5 A").replace("site:", "states: {one: {M1: run, M2: off}, two: {M1: off, M2: run}}\nsite:")
    motor = next(line for line in two.splitlines() if line.startswith("  M1:"))
    two = two.replace(motor, f"{motor}\n{motor.replace('M1', 'M2')}")
    two += "".join(
        f"  - {{wire: {n}, from: Q0:{a}, to: M2:{b}, size: 8 AWG, insulation: MTW, length: 1 m}}\n"
        for n, a, b in ((5, 2, "U1"), (6, 4, "U2"))
    )
    assert fired(SLUG, design(two, "na")) == []
    together = two.replace("{one: {M1: run, M2: off}, two: {M1: off, M2: run}}", "{both: {M1: run, M2: run}}")
    assert len(fired(SLUG, design(together, "na"))) == 1
