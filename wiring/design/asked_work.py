"""What the states ask of a motor: the torque, speed and power of its shaft."""

from __future__ import annotations

from typing import NamedTuple

from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.motors import Shaft, Work


class AskedWork(NamedTuple):
    """What one state asks of a shaft: torque [N·m], speed [rad/s] and power [W], None where the plan gives none."""

    state: str
    torque: float | None
    speed: float | None
    power_w: float | None


def asked_work(operation: Operation, motor: Part) -> list[AskedWork]:
    """The work of a motor in every state that runs it, sizes without sign; power follows from torque and speed."""
    assert isinstance(motor.data, Shaft)
    own, found = motor.data.work or Work(), []
    for state, entries in operation.state_entries.items():
        entry = entries.get(motor.name)
        if entry is None or entry.mode in ("hold", "off"):
            continue
        torque = _size(entry.torque if entry.torque is not None else own.torque)
        speed = _size(entry.speed if entry.speed is not None else own.speed)
        power = _size(entry.power if entry.power is not None else own.power)
        if power is None and torque is not None and speed is not None:
            power = torque * speed
        found.append(AskedWork(state, torque, speed, power))
    return found


def _size(value: float | None) -> float | None:
    return None if value is None else abs(value)
