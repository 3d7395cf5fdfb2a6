"""What motors ask of their drives, by the balance of power, and what was assumed of them."""

from __future__ import annotations

from math import pi

import pytest
from helpers import design

from wiring.design.design import Design
from wiring.design.motor.demands import Moment

PHASES = ("A+", "A-", "B+", "B-")


def axis(work: str, resistance: str = "phase_resistance: 1 ohm") -> Design:
    """A stepper motor on its drive."""
    wire = "  - {{wire: {0}, from: 'D1:{0}', to: 'M1:{0}', size: 1 mm2, length: 1 m}}\n"
    phases = "".join(map(wire.format, PHASES))
    return design(f"""
states:
  busy: {{M1: {{{work}}}}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 36 V DC, rated: 10 A}}
  D1: {{kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak}}
  M1: {{kind: stepper-motor, phase_current: 2 A peak, holding_torque: 2 N·m, iron_loss: 1 W, {resistance}}}
wires:
  - {{wire: 1, from: G1:V+, to: D1:V+, size: 1 mm2, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: D1:V-, size: 1 mm2, length: 1 m}}
{phases}""")


def bus_w(made: Design) -> float:
    """What the drive asks of its bus [W]."""
    return made.operation.demands("busy", Moment.WORK).demand["D1", 0].watts or 0.0


@pytest.mark.parametrize(("torque_nm", "shaft_w"), [(0.5, 0.5 * 9 * 2 * pi / 60), (-0.5, 0.0)])
def test_a_slow_shaft_adds_torque_by_speed_and_one_that_is_held_back_adds_nothing(
    torque_nm: float, shaft_w: float
) -> None:
    """Half a watt counts like any other; what is braked comes back and is asked of nobody."""
    at_work, idle = axis(f"speed: 9 rpm, torque: {torque_nm} N·m"), axis("speed: 9 rpm, torque: 0 N·m")
    assert bus_w(at_work) - bus_w(idle) == pytest.approx(shaft_w, abs=1e-9)


@pytest.mark.parametrize(("resistance", "told"), [("phase_resistance: 1 ohm", []), ("title: feed", ["M1"])])
def test_a_winding_of_unknown_resistance_is_told_and_a_known_one_is_not(resistance: str, told: list[str]) -> None:
    assumed = axis("speed: 9 rpm, torque: 0.5 N·m", resistance).operation.demands("busy", Moment.WORK).assumed
    assert [name for name, words in assumed if "phase_resistance" in words] == told
