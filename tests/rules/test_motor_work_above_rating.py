"""What the states ask of a shaft against the plate of its motor; power is torque times speed (mechanics)."""

from __future__ import annotations

from math import pi

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

from wiring.findings import Signal

SLUG = "motor-work-above-rating"
STEPPER = "kind: stepper-motor, phase_current: 4 A peak, phase_resistance: 1 ohm, metal: false, holding_torque: 2 N·m"
SERVO = "kind: servo-motor, rated_power: 400 W, rated_torque: 1.27 N·m, max_speed: 3000 rpm, metal: false"
SPINDLE = "kind: motor, voltage: 230 V AC, phases: 3, rated_power: 1.5 kW, max_speed: 24000 rpm, metal: false"


def body(motor: str, work: str) -> str:
    return f"states:\n  busy: {{M1: {{{work}}}}}\nparts:\n  M1: {{{motor}}}\n"


@pytest.mark.parametrize(
    ("motor", "work", "fires"),
    [
        (STEPPER, "speed: 60 rpm, torque: 2.01 N·m", True),
        (STEPPER, "speed: 60 rpm, torque: 2 N·m", False),
        (STEPPER, "speed: -60 rpm, torque: -2.01 N·m", True),
        (SERVO, "speed: 1000 rpm, torque: 1.3 N·m", True),
        (SERVO, "speed: 3100 rpm, torque: 0.5 N·m", True),
        (SERVO, "speed: 3000 rpm, torque: 1.2 N·m", False),
        (SPINDLE, "power: 1.6 kW", True),
        (SPINDLE, "power: 1.5 kW", False),
        (f"{SPINDLE}, service_factor: 1.15", "power: 1.6 kW", False),
        (SPINDLE, "speed: 25000 rpm, power: 1 kW", True),
    ],
)
def test_the_plate_is_the_limit(motor: str, work: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(body(motor, work)))) is fires


def test_power_is_torque_times_speed() -> None:
    """2 N·m at 9,000 rpm are 2 times 300 pi, 1,885 W, above 1.5 kW."""
    [finding] = fired(SLUG, design(body(SPINDLE, "speed: 9000 rpm, torque: 2 N·m")))
    assert finding.numbers[0].value == pytest.approx(2 * 300 * pi)
    assert finding.limit is not None
    assert (finding.limit.value, finding.limit.source.standard) == (pytest.approx(1500.0), "data of the part")
    assert finding.signal is Signal.CAUTION
    assert "1.88 kW" in finding.mend[0]


def test_a_motor_that_holds_or_of_which_nothing_is_known_is_left_alone() -> None:
    assert fired(SLUG, design(body(STEPPER.replace(", holding_torque: 2 N·m", ""), "torque: 9 N·m"))) == []
    assert fired(SLUG, design(body(STEPPER, "mode: hold"))) == []


def test_what_it_says() -> None:
    """Data of the motor: 2 N·m; the state asks 2.01 N·m."""
    [finding] = fired(SLUG, design(body(STEPPER, "speed: 60 rpm, torque: 2.01 N·m")))
    assert_says(
        finding,
        "CAUTION",
        limit=(2.0, "N·m", "data of the part torque, speed and power"),
        number=("torque", 2.01, "N·m"),
        mend="more than 2.01 N·m",
    )
