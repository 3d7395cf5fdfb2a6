"""Which motor a brake holds, and what its coil gets."""

from __future__ import annotations

from wiring.design.machine import Machine
from wiring.design.stop.hazards import is_live
from wiring.parts.base import Part
from wiring.parts.elements import Coil
from wiring.parts.motors import Brake, Shaft
from wiring.solver.operating import OperatingPoint


def coil_of(brake: Part) -> Coil:
    """The coil of a brake."""
    return next(element for element in brake.elements if isinstance(element, Coil))


def coil_volts(point: OperatingPoint, brake: Part) -> float:
    """The voltage across the coil of a brake at an operating point [V]."""
    coil = coil_of(brake)
    return abs(point.between((brake.name, coil.a), (brake.name, coil.b), coil.kind or "DC"))


def is_lifted(point: OperatingPoint, brake: Part) -> bool:
    """Whether the coil of a brake gets enough to lift it."""
    return coil_volts(point, brake) >= coil_of(brake).pick_up_v


def stays_open(point: OperatingPoint, brake: Part) -> bool:
    """Whether the coil of a brake gets enough to keep it open once it is lifted."""
    return coil_volts(point, brake) >= coil_of(brake).drop_out_v


def runs_lifted(machine: Machine, brake: Part, motor: Part, point: OperatingPoint) -> bool:
    """Whether a motor has its power and its brake is lifted."""
    return is_live(motor, machine.axes, point) and is_lifted(point, brake)


def held_motor(machine: Machine, brake: Part) -> Part | None:
    """The motor whose shaft a brake holds; None for another part, or where the plan does not say which."""
    motor = machine.parts.get(brake.data.holds) if isinstance(brake.data, Brake) else None
    return motor if motor is not None and isinstance(motor.data, Shaft) else None


def falls(motor: Part) -> bool:
    """Whether the load of a motor falls when nothing holds it."""
    return isinstance(motor.data, Shaft) and motor.data.vertical and not motor.data.self_locking
