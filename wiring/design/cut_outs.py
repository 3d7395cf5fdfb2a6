"""What each thermal cut-out and overload relay does to the parts that it protects, in every state that feeds them."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from wiring.design.hazards import is_live
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.elements import Pole, Switch
from wiring.parts.heating import ThermalCutOut
from wiring.parts.motors import Motor
from wiring.parts.protection import MotorProtector
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate


class CutOut(Struct, frozen=True):
    """A cut-out and what it protects. `states` are those that feed it, `left` those of them in which it stays fed while
    the cut-out has opened."""

    part: str
    protects: str
    states: tuple[str, ...]
    left: tuple[str, ...]


def cut_outs(machine: Machine, operation: Operation) -> tuple[CutOut, ...]:
    """Every cut-out with the part that it names, and every overload relay with the motors behind it, in each state.

    An overload relay opens no pole itself: it acts through its break contact alone. A motor protective switch does, and
    so does one without a contact.
    """
    found = []
    for part in machine.parts.values():
        if isinstance(part.data, ThermalCutOut) and part.data.protects in machine.parts:
            found.append(_worked(machine, operation, (part.name, "operator"), part.data.protects))
        elif isinstance(part.data, MotorProtector) and _is_relay(part):
            found += [_worked(machine, operation, (part.name, "trip"), motor) for motor in _behind(machine, part)]
    return tuple(found)


def _is_relay(part: Part) -> bool:
    assert isinstance(part.data, MotorProtector)
    return not part.data.magnetic and any(switch.closed_at_rest for switch in part.of(Switch))


def _behind(machine: Machine, part: Part) -> list[str]:
    """The motors that conductors alone join to the poles of a device."""
    nets = {machine.nets.bare[part.name, end] for pole in part.of(Pole) for end in (pole.a, pole.b)}
    return [
        other.name
        for other in machine.parts.values()
        if isinstance(other.data, Motor) and any(machine.nets.bare[other.name, end] in nets for end in other.terminals)
    ]


def _worked(machine: Machine, operation: Operation, opened: Actuator, protects: str) -> CutOut:
    load = machine.parts[protects]
    fed = [state for state, point in operation.states.items() if is_live(load, machine.axes, point)]
    left = [state for state in fed if is_live(load, machine.axes, _with(operation.states[state], opened))]
    return CutOut(opened[0], protects, tuple(fed), tuple(left))


def _with(point: OperatingPoint, worked: Actuator) -> OperatingPoint:
    """The machine once an operator is worked, coming from a state."""
    held = frozenset(one for one in point.position.moved if one not in point.attracted) | {worked}
    return operate(point.lowered, replace(point.position, moved=held), point)
