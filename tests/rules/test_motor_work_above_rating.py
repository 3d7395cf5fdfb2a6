"""What the states and the weight of a load ask of a shaft against the plate of its motor and the current of its drive.

Mechanics: power is torque times speed, and a weight pulls in every state. Electrical machines: below saturation the
torque of a stepper motor goes with its current (P. Acarnley, Stepping Motors, from memory)."""

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
WINCH = "kind: motor, voltage: 24 V DC, rated_power: 120 W, max_speed: 3000 rpm, metal: false"
HOIST = "kind: motor, voltage: 400 V AC, rated_power: 1.5 kW, max_speed: 1500 rpm, metal: false"
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


@pytest.mark.parametrize(
    ("motor", "gravity", "work", "words"),
    [
        # 2 N·m of holding torque, and 1.27 of rated torque
        (STEPPER, "2.1", "speed: 60 rpm, torque: 1 N·m", "asks 2.1 N·m of M1"),
        (STEPPER, "-2.1", "speed: 60 rpm, torque: 1 N·m", "asks 2.1 N·m of M1"),
        (STEPPER, "1.5", "speed: 60 rpm, torque: 1.4 N·m", ""),
        (SERVO, "1.3", "speed: 900 rpm, torque: 1.2 N·m", "asks 1.3 N·m of M1"),
        (SERVO, "0.9", "speed: 900 rpm, torque: 1.2 N·m", ""),
        # 0.7 N·m at 2600 rpm (272.3 rad/s) are 190.6 W; 120 W are 0.44 N·m there
        (WINCH, "0.7", "speed: 2600 rpm, power: 90 W", "asks 191 W of M1"),
        (WINCH, "0.43", "speed: 2600 rpm, power: 90 W", ""),
        # 11 N·m at 1400 rpm (146.6 rad/s) are 1613 W
        (HOIST, "11", "speed: 1400 rpm, torque: 9 N·m", "asks 1.61 kW of M1"),
        (HOIST, "9", "speed: -1400 rpm, torque: 9.5 N·m", ""),
    ],
)
def test_the_weight_is_asked_for_in_every_state(motor: str, gravity: str, work: str, words: str) -> None:
    hung = f"{motor}, vertical: true, gravity_torque: {gravity} N·m"
    found = [one.summary for one in fired(SLUG, design(body(hung, work)))]
    assert [words in one for one in found] == ([True] if words else [])
    assert fired(SLUG, design(body(hung.replace("vertical: true", "vertical: false"), work))) == []


@pytest.mark.parametrize(("setting", "most"), [("4", None), ("3", None), ("2.5", 1.25), ("2", 1.0)])
def test_the_drive_limits_the_torque(setting: str, most: float | None) -> None:
    """2 N·m at 4 A peak: at 2.5 A there are 1.25 N·m and at 2 A 1 N·m, where the work asks 1.3."""
    ends = ["A+", "A-", "B+", "B-"]
    wires = "".join(f"  - {{wire: {n}, from: 'D1:{end}', to: 'M1:{end}'}}\n" for n, end in enumerate(ends))
    drive = f"  D1: {{kind: stepper-drive, supply: 24..48 V DC, phase_current: {setting} A peak}}\n"
    found = fired(SLUG, design(body(STEPPER, "speed: 60 rpm, torque: 1.3 N·m") + drive + f"wires:\n{wires}"))
    assert [one.limit.value for one in found if one.limit] == ([pytest.approx(most)] if most else [])
    assert [one.subjects for one in found] == ([("M1", "D1")] if most else [])


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
