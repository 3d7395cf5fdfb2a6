"""What the coil of a brake gets."""

from __future__ import annotations

from wiring.parts.base import Part
from wiring.parts.elements import Coil
from wiring.solver.operating import OperatingPoint


def coil_of(brake: Part) -> Coil:
    """The coil of a brake."""
    return next(element for element in brake.elements if isinstance(element, Coil))


def coil_volts(point: OperatingPoint, brake: Part) -> float:
    """The voltage across the coil of a brake at an operating point [V]."""
    coil = coil_of(brake)
    return abs(point.between((brake.name, coil.a), (brake.name, coil.b), coil.kind or "DC"))
