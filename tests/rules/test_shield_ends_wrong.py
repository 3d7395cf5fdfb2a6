"""Shields: both ends for motor cables of inverters and servos, one end for an analog signal (common practice)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "shield-ends-wrong"
MOTOR = """
T5: {kind: inverter, supply: 230 V AC, rated: 1 kW, leakage: 2 mA}
M5: {kind: motor, voltage: 230 V AC, rated_power: 0.75 kW, rated_current: 3 A}
BED: {kind: metalwork, points: 2}
"""
FEED = (
    "- {wire: 51, from: X0:L, to: T5:L}\n- {wire: 52, from: X0:N, to: T5:N}\n"
    "- {wire: P5, from: XPE:5, to: T5:PE}\n- {wire: P6, from: XPE:6, to: BED:1}"
)


def motor(shield: str) -> str:
    return plan(
        MOTOR,
        FEED,
        f"- cable: C5\n  join: {{1: [T5:U, M5:U], 2: [T5:V, M5:V], 3: [T5:W, M5:W], 4: [XPE:7, M5:PE]}}\n  {shield}",
    )


def test_a_motor_cable_bonded_at_one_end() -> None:
    assert_marked(motor("shield: {ends: [XPE:8], method: clamp}   #! shield-ends-wrong"))


def test_a_motor_cable_with_pigtails() -> None:
    assert_marked(motor("shield: {ends: [XPE:8, BED:2], method: pigtail}   #! shield-ends-wrong"))


def test_a_motor_cable_clamped_at_both_ends_is_right() -> None:
    assert_marked(motor("shield: {ends: [XPE:8, BED:2], method: clamp}"))


@pytest.mark.parametrize(("ends", "fires"), [("XPE:8", False), ("XPE:8, BED:2", True)])
def test_an_analog_signal_is_bonded_once(ends: str, fires: bool) -> None:
    body = plan(
        """
        B5: {kind: sensor, supply: 10..30 V DC, output: analog}
        A5: {kind: io-card, inputs: {AI1: analog}}
        BED: {kind: metalwork, points: 2}
        """,
        "- {wire: P6, from: XPE:6, to: BED:1}",
        f"- cable: C5\n  join: {{1: [X1:2, B5:1], 2: [X2:2, B5:3], 3: [A5:AI1, B5:4]}}\n  shield: {{ends: [{ends}]}}",
    )
    assert bool(fired(SLUG, design(body))) is fires


def test_the_cable_of_a_stepper_motor_may_be_either() -> None:
    body = plan(
        """
        D5: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 5 V DC}
        M5: {kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm, metal: false}
        """,
        "",
        "- cable: C5\n  join: {1: [D5:A+, M5:A+], 2: [D5:A-, M5:A-], 3: [D5:B+, M5:B+], 4: [D5:B-, M5:B-]}\n"
        "  shield: {ends: [XPE:8]}",
    )
    assert fired(SLUG, design(body)) == []


def test_what_it_says() -> None:
    """Common practice of drive makers: both ends; 1 is bonded."""
    [finding] = fired(SLUG, design(motor("shield: {ends: [XPE:8], method: clamp}")))
    assert_says(finding, "CAUTION", number=("bonded ends", 1.0, ""), mend="Clamp the shield of C5 at the motor end too")
