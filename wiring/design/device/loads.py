"""What every protective device carries at work."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.elements import Pole
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector

_DEVICES = (Breaker, ElectronicFuse, Fuse, MotorProtector)


def device_loads(machine: Machine, operation: Operation) -> Mapping[str, float]:
    """The largest current of every protective device over all states [A], by its name."""
    found: dict[str, float] = {}
    for part in machine.parts.values():
        poles = [f"{part.name}:{pole.name}" for pole in part.of(Pole)]
        if poles and isinstance(part.data, _DEVICES):
            points = [point.path_current(kind) for point in operation.states.values() for kind in ("DC", "AC")]
            found[part.name] = max((abs(paths.get(pole, 0.0)) for paths in points for pole in poles), default=0.0)
    return found
