"""Protective devices that close again by themselves, and what gets its power back when they do."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.script import is_program, operators_of, springing_back
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.stop.hazards import hazards, is_live
from wiring.design.switching.reachable import Stand
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Pole, Switch
from wiring.parts.heating import ThermalCutOut
from wiring.parts.protection import MotorProtector
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate

#: What does not say how it closes may do so by itself.
_MAY_CLOSE = ("self", None)


class Reclosing(Struct, frozen=True):
    """A protective device with `again`: the hazards, and what it protects, that it takes the power from and that get it
    back as soon as it has closed, with every button let go, in `states`. `sure`: the plan says that it does."""

    part: str
    again: tuple[str, ...]
    states: tuple[str, ...]
    sure: bool


def reclosing(machine: Machine, operation: Operation) -> Iterator[Reclosing]:
    """Every device that closes again by itself, or may, where that brings something back."""
    manual = {getattr(part.data, "protects", "") for part in machine.parts.values() if _stays_open(part)}
    for part in machine.parts.values():
        if not hasattr(part.data, "reset") or part.data.reset not in _MAY_CLOSE:
            continue
        back: dict[str, list[str]] = {}
        for state, point in operation.states.items():
            for name in _back(machine, part, point):
                if name not in manual:
                    back.setdefault(name, []).append(state)
        if back:
            states = dict.fromkeys(state for found in back.values() for state in found)
            yield Reclosing(part.name, tuple(back), tuple(states), part.data.reset is not None)


def _stays_open(part: Part) -> bool:
    return isinstance(part.data, ThermalCutOut) and part.data.reset in ("manual", "one-shot")


def _back(machine: Machine, part: Part, point: OperatingPoint) -> list[str]:
    """What lives at a point, is dead once a device has opened, and lives again when it closes with all hands off."""
    watched = {one.name for one in hazards(machine.circuit)} | {getattr(part.data, "protects", "")}
    live = [one for name, one in machine.parts.items() if name in watched and is_live(one, machine.axes, point)]
    if not live:
        return []
    opened = _opened(part, point)
    dead = [one for one in live if not is_live(one, machine.axes, opened)]
    if not dead:
        return []
    springs = springing_back(operators_of(machine.circuit))
    let_go = replace(opened.position, moved=opened.position.moved - springs - opened.attracted)
    left = operate(point.lowered, let_go, opened)
    at_rest = replace(
        left.position,
        moved=left.position.moved - {(part.name, one.actuator) for one in part.of(Switch)},
        opened=point.position.opened,
    )
    closed = operate(point.lowered, at_rest, left)
    return [one.name for one in dead if is_live(one, machine.axes, closed)]


def _opened(part: Part, point: OperatingPoint) -> OperatingPoint:
    """The machine once the device has opened: an overload relay by its contact, others by their poles as well."""
    contacts = {(part.name, one.actuator) for one in part.of(Switch)}
    relay = isinstance(part.data, MotorProtector) and not part.data.magnetic and bool(contacts)
    poles = set() if relay else {f"{part.name}:{pole.name}" for pole in part.of(Pole)}
    moved = (point.position.moved - point.attracted) | contacts
    position = replace(point.position, moved=moved, opened=point.position.opened | poles)
    return operate(point.lowered, position, point)


class ResetHeld(Struct, frozen=True):
    """A drive whose input for taking back its faults is fed with no hand and no program asking; `by`: the contacts
    beside it."""

    drive: str
    terminal: str
    by: tuple[str, ...]


def resets_held(machine: Machine, operation: Operation) -> Iterator[ResetHeld]:
    """Every such drive."""
    reachable = operation.reachability
    springs = springing_back(operators_of(machine.circuit))
    may = frozenset(one for one in reachable.everything - springs if not is_program(one[1]))
    for part in machine.parts.values():
        data = part.data
        if not isinstance(data, Drive):
            continue
        for a, b in data.signal_inputs():
            ends = (part.name, a), (part.name, b)
            if data.functions.get(a) == "reset" and reachable.joined(*ends, Stand(may)):
                edges = machine.nets.edges_at.get(machine.nets.of[ends[0]], ())
                yield ResetHeld(part.name, a, tuple(dict.fromkeys(e.part for e in edges if e.part != part.name)))
