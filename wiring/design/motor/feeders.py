"""Feeders of several motors in North America: conductors behind which each load has a fuse or a breaker of its own.

The device in front of a feeder lets the largest motor start while the others run. It may therefore be larger than the
conductors carry, for the overload devices of the motors keep the current within them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.device.overcurrent_protection import Protection
from wiring.design.device.supply_way import parts_by_way
from wiring.design.fault.records import ShortCircuits
from wiring.design.machine import Machine
from wiring.design.motor.branches import branch_device, largest_branch_device, motor_branches
from wiring.design.motor.circuits import beside_motors, full_load, needed_ampacity
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.motors import feeder_device

_FAMILIES = ("fuse", "breaker")


class MotorFeeder(Struct, frozen=True):
    """A conductor that feeds motors, and perhaps other loads, each through a branch device of its own.

    `needed_a` is the ampacity that it needs, `device` the largest rated current of the device in front of it.
    """

    motors: tuple[str, ...]
    needed_a: float
    device: Limit


def motor_feeders(
    machine: Machine, operation: Operation, shorts: ShortCircuits, protections: Mapping[str, Protection]
) -> Mapping[str, MotorFeeder]:
    """The feeders of motors by conductor; none under the IEC book, which has no such rule.

    Source: NFPA 70, 430.24, 430.62(A) and 430.63.
    """
    margin = machine.book.limit("motor_conductor_margin")
    branches = motor_branches(machine, shorts) if machine.plan.rulebook == "na" else {}
    if not branches or not isinstance(margin, Limit):
        return {}
    branch_of = {motor: device for device, motors in branches.items() for motor in motors}
    limits = {device: largest_branch_device(machine, shorts, device, motors) for device, motors in branches.items()}
    allowed = {device: limit for device, limit in limits.items() if isinstance(limit, Limit)}
    found = {}
    for name, parts in parts_by_way(shorts.paths, _loads(machine)).items():
        protection = protections.get(name)
        if protection is None or protection.family not in _FAMILIES or protection.part in branches:
            continue
        if any(protection.part in _own_devices(machine, shorts, part) for part in parts):
            continue
        motors = tuple(part.name for part in parts if part.name in branch_of)
        feeder = _feeder(machine, operation, name, {m: branch_of[m] for m in motors}, allowed, margin.value)
        if feeder is not None:
            found[name] = feeder
    return found


def _loads(machine: Machine) -> list[Part]:
    return [part for part in machine.parts.values() if any(True for _ in part.of(Draw, Input, Coil, Resistance))]


def _own_devices(machine: Machine, shorts: ShortCircuits, part: Part) -> set[str]:
    """The branch devices at the hot terminals of a part, "" for one without any."""
    ends: Iterator[Node] = ((part.name, end) for end in part.terminals if (part.name, end) in shorts.paths.hot)
    return {branch_device(machine, shorts, end) for end in ends}


def _feeder(
    machine: Machine,
    operation: Operation,
    name: str,
    branch_of: Mapping[str, str],
    allowed: Mapping[str, Limit],
    margin: float,
) -> MotorFeeder | None:
    known = {motor: full_load(machine.parts[motor]) for motor in branch_of}
    loads = {motor: current.value for motor, current in known.items() if isinstance(current, Limit)}
    devices = sorted(set(branch_of.values()))
    if not loads or len(loads) < len(known) or not allowed.keys() >= set(devices):
        return None
    full_a = [sum(amps for motor, amps in loads.items() if branch_of[motor] == device) for device in devices]
    beside_a = beside_motors(machine, operation, name, tuple(loads))
    device = feeder_device([(allowed[one].value, amps) for one, amps in zip(devices, full_a, strict=True)], beside_a)
    return MotorFeeder(tuple(sorted(loads)), needed_ampacity(machine, operation, name, loads, margin), device)
