"""A drive gives at least what the plate of its motor says (data sheets of the parts)."""

from __future__ import annotations

from math import pi

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

from wiring.design.motor.drive_ratings import shaft_power
from wiring.findings import Signal

SLUG = "drive-too-small-for-motor"


def body(drive: str, motor: str, states: str = "") -> str:
    wires = "".join(f"  - {{wire: {u}, from: T1:{u}, to: M1:{u}, size: 1.5 mm2, length: 2 m}}\n" for u in "UVW")
    return f"{states}parts:\n  T1: {{{drive}, metal: false}}\n  M1: {{{motor}, metal: false}}\nwires:\n{wires}"


INVERTER = "kind: inverter, supply: 230 V AC, phases: 1, rated: {rated}, output_current: {amps}"
MOTOR = "kind: motor, voltage: 230 V AC, phases: 3, rated_power: 1.5 kW, rated_current: 5.9 A"
SERVO = "kind: servo-drive, supply: 230 V AC, phases: 1, rated_current: {amps} A rms"
SERVO_MOTOR = "kind: servo-motor, rated_power: 400 W, rated_current: 2.5 A rms"


@pytest.mark.parametrize(("amps", "fires"), [("5.8 A", True), ("5.9 A", False), ("7 A", False)])
def test_the_current_of_an_inverter(amps: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(body(INVERTER.format(rated="1.5 kW", amps=amps), MOTOR)))) is fires


@pytest.mark.parametrize(("amps", "fires"), [(2.4, True), (2.5, False)])
def test_the_current_of_a_servo_drive(amps: float, fires: bool) -> None:
    assert bool(fired(SLUG, design(body(SERVO.format(amps=amps), SERVO_MOTOR)))) is fires


@pytest.mark.parametrize(("asked", "fires"), [("0.8 kW", True), ("0.7 kW", False)])
def test_the_power_that_a_state_asks(asked: str, fires: bool) -> None:
    states = f"states:\n  busy: {{M1: {{power: {asked}}}}}\n"
    plan = body(INVERTER.format(rated="0.75 kW", amps="9 A"), MOTOR, states)
    assert bool(fired(SLUG, design(plan))) is fires


def test_the_finding_says_how_much_and_what_to_take() -> None:
    [finding] = fired(SLUG, design(body(INVERTER.format(rated="0.75 kW", amps="4.2 A"), MOTOR)))
    assert finding.subjects == ("T1", "M1")
    assert finding.signal is Signal.CAUTION
    assert finding.limit is not None
    assert (finding.limit.value, finding.limit.source.standard) == (pytest.approx(4.2), "data of the part")
    assert finding.numbers[0].value == pytest.approx(5.9)
    assert "5.9 A or more" in finding.mend[0]


def test_a_motor_without_its_current_is_left_alone() -> None:
    assert (
        fired(
            SLUG, design(body(INVERTER.format(rated="2 kW", amps="4 A"), MOTOR.replace(", rated_current: 5.9 A", "")))
        )
        == []
    )


def test_what_it_says() -> None:
    """Data of the parts: the inverter gives 5.8 A, the motor takes 5.9 A."""
    [finding] = fired(SLUG, design(body(INVERTER.format(rated="1.5 kW", amps="5.8 A"), MOTOR)))
    assert_says(
        finding,
        "CAUTION",
        limit=(5.8, "A", "data of the part rated current and power"),
        number=("current", 5.9, "A"),
        mend="5.9 A or more",
    )


@pytest.mark.parametrize(
    ("work", "watts"),
    [("", 0.0), ("states:\n  busy: {M1: {torque: 2 N·m, speed: 1400 rpm}}\n", 2 * 1400 * 2 * pi / 60)],
)
def test_the_power_of_a_shaft_is_torque_by_speed_and_none_where_none_is_asked(work: str, watts: float) -> None:
    made = design(body(INVERTER.format(rated="0.75 kW", amps="9 A"), MOTOR, work))
    assert shaft_power(made, made.parts["M1"]) == pytest.approx(watts)


@pytest.mark.parametrize(("peak", "told"), [(4.0, False), (3.9, True)])
def test_motors_on_one_stepper_drive_share_its_current(peak: float, told: bool) -> None:
    """Kirchhoff: two windings of 2 A in parallel take 4 A of what the drive gives."""
    phases = [(motor, end) for motor in ("M1", "M2") for end in ("A+", "A-", "B+", "B-")]
    ends = "\n".join(f"  - {{wire: {m}{n}, from: 'D1:{n}', to: '{m}:{n}'}}" for m, n in phases)
    body = f"""
parts:
  D1: {{kind: stepper-drive, supply: 24..48 V DC, phase_current: {peak} A peak}}
  M1: {{kind: stepper-motor, phase_current: 2 A peak, metal: false}}
  M2: {{kind: stepper-motor, phase_current: 2 A peak, metal: false}}
wires:
{ends}
"""
    assert [one.subjects for one in fired(SLUG, design(body))] == ([("D1", "M1", "M2")] if told else [])
