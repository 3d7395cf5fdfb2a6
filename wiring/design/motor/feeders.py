"""Branch circuits and feeders of motors on the mains in North America: the devices in front of each motor and of
several, and how large they may be.

The device in front of a feeder lets the largest motor start while the others run. It may therefore be larger than the
conductors carry, for the overload devices of the motors keep the current within them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.device.overcurrent_protection import Protection
from wiring.design.device.supply_way import parts_by_way
from wiring.design.fault.motors import feeding_motors
from wiring.design.fault.records import ShortCircuits
from wiring.design.machine import Machine
from wiring.design.motor.circuits import beside_motors, full_load, needed_ampacity
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import Device
from wiring.rulebooks.motors import feeder_device, group_device, short_circuit_device

_FAMILIES = ("fuse", "breaker")


def branch_device(machine: Machine, shorts: ShortCircuits, node: Node) -> str:
    """The last fuse or breaker of the machine on the way to a node; "" without any."""
    reached = shorts.paths.hot.get(node)
    own = [name for name in reached.devices if name in machine.parts and name in shorts.known] if reached else []
    return next((name for name in reversed(own) if shorts.known[name].family in _FAMILIES), "")


def motor_branches(machine: Machine, shorts: ShortCircuits) -> Mapping[str, tuple[str, ...]]:
    """The motors without a drive behind the device nearest to each, by device."""
    behind: dict[str, list[str]] = {}
    for name in feeding_motors(machine, shorts.paths):
        fed = ((name, end) for end in machine.parts[name].terminals if (name, end) in shorts.paths.hot)
        device = next((branch_device(machine, shorts, node) for node in fed), "")
        if device:
            behind.setdefault(device, []).append(name)
    return {device: tuple(motors) for device, motors in sorted(behind.items())}


def largest_branch_device(
    machine: Machine, shorts: ShortCircuits, device: str, motors: tuple[str, ...]
) -> Limit | NotTabled:
    """The largest rating that the device in front of a motor, or of a group of motors, may have [A].

    Source: NFPA 70, 430.52(C)(1); NFPA 79, 7.2.10.4 for a group.
    """
    if len(motors) == 1:
        return _one(machine, shorts.known[device], motors[0])
    return _several(machine, shorts.known[device], motors)


def _one(machine: Machine, device: Device, motor: str) -> Limit | NotTabled:
    part = machine.parts[motor]
    current = full_load(part)
    if isinstance(current, NotTabled):
        return current
    kind = "polyphase_other_than_wound_rotor" if getattr(part.data, "phases", "") == "3" else "single_phase"
    found = short_circuit_device(current.value, _device_kind(device), kind)
    value = found.standard.value if isinstance(found.standard, Limit) else found.limit.value
    percent = 100.0 * found.limit.value / current.value
    return Limit(value, "A", found.limit.source, f"{percent:.0f} % of {current.value:.3g} A, next standard rating")


def _device_kind(device: Device) -> str:
    """The column of table 430.52(C)(1); its note puts fuses of class CC among those without time delay."""
    if device.family == "breaker":
        return "inverse_time_breaker"
    delayed = device.time_delay and device.curve != "CC"
    return "dual_element_time_delay_fuse" if delayed else "nontime_delay_fuse"


def _several(machine: Machine, device: Device, motors: tuple[str, ...]) -> Limit | NotTabled:
    """By the smallest conductor at any of the motors."""
    sizes = [
        conductor.size
        for motor in motors
        for terminal in machine.parts[motor].terminals
        if terminal != "PE"
        for conductor in machine.circuit.conductors_at((motor, terminal))
        if conductor.size is not None
    ]
    names = ", ".join(motors)
    if not sizes:
        return NotTabled(f"the size of the conductors of {names}")
    smallest = min(sizes, key=lambda size: size.area_mm2)
    if smallest.system != "awg":
        return NotTabled(f"conductors of {names} in AWG, for which the table is made")
    return group_device(smallest.label, time_delay_fuse=_device_kind(device) == "dual_element_time_delay_fuse")


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
