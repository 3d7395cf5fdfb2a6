"""The voltage that a motor gets at full speed: that of its contactor, or what its drive can make of its own."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.stop.hazards import drives_of
from wiring.design.supply.levels import worst_volts
from wiring.parts.base import Part
from wiring.parts.drives import MainsDrive
from wiring.parts.elements import Draw
from wiring.parts.motors import Motor

#: Drives fed below this double their input voltage, as the makers of the 120 V class say (common practice, no source).
_DOUBLING_V = 150.0


class MotorVoltage(Struct, frozen=True):
    """A motor of `rated_v` that gets `volts` in `state`, from `source`: a drive, or "" for what it hangs on itself."""

    motor: str
    rated_v: float
    volts: float
    state: str
    source: str


def motor_voltages(machine: Machine, operation: Operation) -> Iterator[MotorVoltage]:
    """Every motor that some state feeds, with the highest voltage there is for it."""
    for part in machine.parts.values():
        if not isinstance(part.data, Motor):
            continue
        feeds = drives_of(part, machine.axes)
        found = [(*_across(operation, feed, "bus"), feed.name) for feed in feeds if isinstance(feed.data, MainsDrive)]
        found.append((*_across(operation, part, "shaft"), ""))
        for volts, state, source in found:
            doubled = bool(source) and volts < _DOUBLING_V and part.data.phases != "DC"
            if volts > 0.5 * part.data.voltage.volts or (source and volts > 1.0):
                yield MotorVoltage(part.name, part.data.voltage.volts, 2 * volts if doubled else volts, state, source)


def _across(operation: Operation, part: Part, name: str) -> tuple[float, str]:
    """The largest voltage across what a part draws its power from."""
    draws = [draw for draw in part.of(Draw) if draw.name == name]
    seen = [worst_volts(operation, part, draw, draw.kind) for draw in draws]
    return max(seen, default=(0.0, ""))
