"""What the states ask of a motor: the torque, speed and power of its shaft."""

from __future__ import annotations

from typing import NamedTuple

from wiring.design.motor.demands import work_in
from wiring.design.operation import Operation
from wiring.parts.base import Part


class AskedWork(NamedTuple):
    """What one state asks of a shaft: torque [N·m], speed [rad/s] and power [W], None where the plan gives none."""

    state: str
    torque: float | None
    speed: float | None
    power_w: float | None


def asked_work(operation: Operation, motor: Part) -> list[AskedWork]:
    """The work of a motor in every state that runs it, sizes without sign; power follows from torque and speed."""
    found = []
    for state, entries in operation.state_entries.items():
        entry = entries.get(motor.name)
        if entry is None or entry.mode in ("hold", "off"):
            continue
        work = work_in(entry, motor)
        torque, speed, power = _size(work.torque), _size(work.speed), _size(work.power)
        if power is None and torque is not None and speed is not None:
            power = torque * speed
        found.append(AskedWork(state, torque, speed, power))
    return found


def _size(value: float | None) -> float | None:
    return None if value is None else abs(value)
