"""Which drive moves which motor, read off small circuits by eye."""

from __future__ import annotations

from helpers import design

PARTS = """
parts:
  D1: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak}
  D2: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak}
  M1: {kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm}
  M2: {kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm}
  X1: {kind: terminals, points: 8}
  XPE: {kind: earth-bar, points: 4}
wires:
"""


def wires(*pairs: str) -> str:
    lines = [f"  - {{wire: W{n}, from: {pair.split()[0]}, to: {pair.split()[1]}}}" for n, pair in enumerate(pairs)]
    return PARTS + "\n".join(lines) + "\n"


def motors(body: str) -> dict[str, list[str]]:
    return {drive: [motor.name for motor in axis.motors] for drive, axis in design(body).axes.items()}


def test_a_motor_belongs_to_the_drive_that_its_phases_lead_to() -> None:
    assert motors(wires("D1:A+ M2:A+", "D2:A+ M1:A+")) == {"D1": ["M2"], "D2": ["M1"]}


def test_terminals_between_drive_and_motor_are_passed() -> None:
    """Two points of a terminal are the same point: in at 1, out at 1."""
    assert motors(wires("D1:A+ X1:1", "X1:1 M1:A+")) == {"D1": ["M1"], "D2": []}


def test_two_motors_on_one_drive_are_one_axis() -> None:
    assert motors(wires("D1:A+ M1:A+", "D1:A+ M2:A+")) == {"D1": ["M1", "M2"], "D2": []}


def test_a_common_earth_bar_joins_no_axes() -> None:
    body = wires("D1:A+ M1:A+", "D2:A+ M2:A+", "XPE:1 M1:PE", "XPE:2 M2:PE", "XPE:3 D1:PE", "XPE:4 D2:PE")
    assert motors(body) == {"D1": ["M1"], "D2": ["M2"]}


def test_a_brake_belongs_to_the_axis_of_the_motor_that_it_holds() -> None:
    brake = "  Y1: {kind: brake, rated: 24 V DC 12 W, holds: M2}\nwires:"
    found = design(wires("D1:A+ M1:A+", "D2:A+ M2:A+").replace("wires:", brake))
    assert {drive: [b.name for b in axis.brakes] for drive, axis in found.axes.items()} == {"D1": [], "D2": ["Y1"]}
