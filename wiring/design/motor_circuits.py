"""Motors that stand on the mains without a drive, as the rules on motor circuits count them."""

from __future__ import annotations

from wiring.design.machine import Machine
from wiring.parts.base import Part
from wiring.parts.motors import Motor
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.motors import full_load_current

_MARKED = Source("marking of the motor", "", "", Standing.CONFIRMED)


def full_load(part: Part) -> Limit | NotTabled:
    """Full-load current of a motor for conductors and short circuits [A]: that of the table, else its rated current.

    NotTabled where neither is known. Source: NFPA 70, 430.6(A)(1).
    """
    data = part.data
    assert isinstance(data, Motor)
    tabled = full_load_current(data.rated_power, data.voltage.volts, 3 if data.phases == "3" else 1)
    if isinstance(tabled, Limit):
        return tabled
    if data.rated_current is None:
        return NotTabled(f"the full-load current of {part.name} (`rated_current`)")
    return Limit(data.rated_current, "A", _MARKED)


def direct_motors(machine: Machine) -> tuple[Part, ...]:
    """The motors that no drive moves, in the order of their names."""
    driven = {motor.name for axis in machine.axes.values() for motor in axis.motors}
    motors = (part for part in machine.parts.values() if isinstance(part.data, Motor) and part.name not in driven)
    return tuple(sorted(motors, key=lambda part: part.name))
