"""Statics: a weight pulls at the shaft in every state, and to lift it takes as much and the friction besides.

Electrical machines: below saturation the torque of a stepper motor goes with its current (P. Acarnley, Stepping Motors,
from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from lifting_plans import BEHIND_STOP, lifting
from marked_plans import fired
from says import assert_says

from wiring.design.design import Design

SLUG = "weight-above-work"
STEPPER = "kind: stepper-motor, phase_current: 4 A peak"
SERVO = "kind: servo-motor, rated_power: 400 W"
WINCH = "kind: motor, voltage: 24 V DC, rated_power: 120 W"


def hung(motor: str, gravity: str, work: str, more: str = "vertical: true") -> Design:
    return design(
        f"states: {{up: {{M1: {{{work}}}}}, down: {{M1: {{speed: 60 rpm, torque: 1 N·m}}}}}}\n"
        f"parts:\n  M1: {{{motor}, metal: false, {more}, gravity_torque: {gravity} N·m}}\n"
    )


@pytest.mark.parametrize(
    ("motor", "gravity", "work", "told"),
    [
        # down it may be less than the weight, up it may not
        (STEPPER, "1.5", "speed: 60 rpm, torque: 1.4 N·m", True),
        (STEPPER, "-1.5", "speed: 60 rpm, torque: 1.4 N·m", True),
        (STEPPER, "1.5", "speed: 60 rpm, torque: 1.7 N·m", False),
        (SERVO, "1.5", "speed: 900 rpm, torque: -1.7 N·m", False),
        # 300 W at 2000 rpm (209.4 rad/s) are 1.43 N·m
        (WINCH, "1.5", "speed: 2000 rpm, power: 300 W", True),
        (WINCH, "1.4", "speed: 2000 rpm, power: 300 W", False),
    ],
)
def test_some_state_asks_for_the_weight(motor: str, gravity: str, work: str, *, told: bool) -> None:
    assert [one.subjects for one in fired(SLUG, hung(motor, gravity, work))] == ([("M1",)] if told else [])
    assert fired(SLUG, hung(motor, gravity, work, "vertical: false")) == []
    assert fired(SLUG, hung(motor, gravity, "speed: 60 rpm")) == []


def test_what_it_says() -> None:
    """The plan's own figures: the weight pulls with 1.5 N·m, and the work asks 1.4 N·m."""
    [finding] = fired(SLUG, hung(STEPPER, "1.5", "speed: 60 rpm, torque: 1.4 N·m"))
    assert_says(
        finding,
        "CAUTION",
        limit=(1.5, "N·m", "statics moments about the shaft"),
        number=("asked", 1.4, "N·m"),
        mend="Then write 1.5 N·m and its friction",
    )


@pytest.mark.parametrize(
    ("gravity", "hold", "brake", "told"),
    [
        # half the current of 2 N·m holds 1 N·m
        ("1.1", "50 %", BEHIND_STOP, True),
        ("0.9", "50 %", BEHIND_STOP, False),
        ("1.1", "100 %", BEHIND_STOP, False),
        ("1.1", "50 %", "Y1:A2>G1:V-", False),  # its brake holds it
    ],
)
def test_a_load_that_the_drive_holds_still_with_its_brake_open(
    gravity: str, hold: str, brake: str, *, told: bool
) -> None:
    found = fired(
        SLUG,
        lifting(
            "stepper",
            "rated: 24 V DC 12 W",
            brake,
            vertical=f"vertical: true, holding_torque: 2 N·m, gravity_torque: {gravity} N·m",
            drive=f", hold_current: {hold}",
            states="still: {M1: hold}",
        ),
    )
    assert [one.subjects for one in found] == ([("M1", "T1")] if told else [])
