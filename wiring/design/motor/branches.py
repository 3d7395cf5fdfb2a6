"""Branch circuits of motors on the mains in North America: the device in front of each, and how large it may be."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.model import Node
from wiring.design.fault.motors import feeding_motors
from wiring.design.fault.records import ShortCircuits
from wiring.design.machine import Machine
from wiring.design.motor.circuits import full_load
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import Device
from wiring.rulebooks.motors import group_device, short_circuit_device

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
