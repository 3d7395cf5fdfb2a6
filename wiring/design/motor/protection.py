"""The protectors of motors, and the ampacity that motors ask of their conductors."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial

from wiring.circuit.model import Edge, Inner, Node
from wiring.design.design import Design
from wiring.design.device.supply_way import parts_by_way
from wiring.design.motor.circuits import direct_motors, full_load, needed_ampacity
from wiring.design.motor.feeders import largest_branch_device, motor_branches
from wiring.parts.base import Part
from wiring.parts.drives import Inverter
from wiring.parts.elements import Draw, Link, Pole, Switch
from wiring.parts.motors import Motor
from wiring.parts.protection import MotorProtector
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit


def protectors_of(design: Design, motor: Part) -> list[str] | None:
    """Motor protectors on the way to a motor, None for a motor that no source reaches."""
    hot = design.short_circuits.paths.hot
    reached = [hot[motor.name, end] for e in motor.of(Draw) for end in (e.a, e.b) if (motor.name, end) in hot]
    if not reached:
        return None
    passed = {name for end in reached for name in end.devices if name in design.parts}
    return sorted(name for name in passed if isinstance(design.parts[name].data, MotorProtector))


def unguarded_together(design: Design) -> Iterator[tuple[Part, tuple[str, ...]]]:
    """The motors of several on one inverter that no motor protector of their own stands before, with the inverter and
    all of them."""
    for axis in design.axes.values():
        motors = [motor for motor in axis.motors if isinstance(motor.data, Motor)]
        for motor in motors if isinstance(axis.drive.data, Inverter) and len(motors) > 1 else ():
            assert isinstance(motor.data, Motor)
            ends = [(motor.name, end) for end in motor.terminals if end != "PE"]
            reached = design.circuit.walk(ends, partial(_towards, axis.drive.name))
            ways = {name for name, _ in reached if name in design.parts}
            own = any(isinstance(design.parts[name].data, MotorProtector) for name in ways)
            if not own and needs_protector(design, motor.data):
                yield motor, (axis.drive.name, *(one.name for one in motors))


def _towards(drive: str, edge: Edge, far: Node) -> bool:
    """Whether a way from a motor leads on and not through the drive to its neighbours."""
    passes = isinstance(edge.element, Link | Pole | Switch) if isinstance(edge, Inner) else edge.kind != "shield"
    return passes and far[0] != drive


def protector_setting(part: Part) -> float:
    """The setting of a motor protector [A]."""
    assert isinstance(part.data, MotorProtector)
    return part.data.setting


def needs_protector(design: Design, data: Motor) -> bool:
    """Whether a motor must have a device that opens on overload."""
    if design.plan.rulebook == "na":
        return True
    above = design.book.limit("motor_overheat_protection_above")
    return isinstance(above, NotTabled) or data.rated_power > 1000.0 * above.value


def full_loads(design: Design) -> dict[str, float]:
    """The full-load currents of motors that are known [A], by their name."""
    currents = ((part.name, full_load(part)) for part in design.parts.values() if isinstance(part.data, Motor))
    return {name: current.value for name, current in currents if isinstance(current, Limit)}


def asked_ampacities(
    design: Design, loads: Mapping[str, float], margin: float
) -> Iterator[tuple[str, tuple[str, ...], float]]:
    """Every conductor of motors of known current with those motors and the ampacity that it needs [A]."""
    for name, motors in _motors_by_conductor(design).items():
        known = {motor: loads[motor] for motor in motors if motor in loads}
        figure = design.conductors.get(name)
        if known and figure is not None and isinstance(figure.ampacity, Limit):
            yield name, tuple(sorted(known)), needed_for_motors(design, name, known, margin)


def _motors_by_conductor(design: Design) -> dict[str, tuple[str, ...]]:
    direct = direct_motors(design.machine)
    by_way = parts_by_way(design.short_circuits.paths, direct)
    found = {name: tuple(part.name for part in by_way[name]) for name in by_way if name in design.circuit.conductor}
    for part in design.parts.values():
        if isinstance(part.data, Motor) and part not in direct:
            ends = ((part.name, terminal) for terminal in part.terminals)
            found |= {c.id: (part.name,) for end in ends for c in design.circuit.conductors_at(end)}
    return found


def needed_for_motors(design: Design, name: str, loads: Mapping[str, float], margin: float) -> float:
    """The ampacity that a conductor needs for motors of these currents [A]."""
    return needed_ampacity(design.machine, design.operation, name, loads, margin)


def branch_limits(design: Design) -> Iterator[tuple[str, tuple[str, ...], Limit | NotTabled]]:
    """The nearest device of each motor, the motors behind it, and its largest rating [A]."""
    if design.plan.rulebook != "na":
        return
    for device, motors in motor_branches(design.machine, design.short_circuits).items():
        yield device, motors, largest_branch_device(design.machine, design.short_circuits, device, motors)
