"""What a state asks to run and nothing feeds, and the start buttons that a hand presses to make it run."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from msgspec.structs import replace

from wiring.control.script import is_program, operators_on
from wiring.design.machine import Machine
from wiring.design.motor.brakes import held_motor, is_lifted
from wiring.design.stop.hazards import is_live, is_told_to_run, probes_of, waits_for_input
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.motors import Shaft
from wiring.parts.operators import HandOperated
from wiring.plan.models import StateEntry
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate, with_coils

#: The operating point once some operators stand worked.
Pressed = Callable[[frozenset[Actuator]], OperatingPoint]


def unfed(machine: Machine, entries: Mapping[str, StateEntry], point: OperatingPoint) -> tuple[str, ...]:
    """The parts that a state names as running or on, and that nothing feeds or nothing tells to run there."""
    return tuple(part.name for part in _asked(machine, entries, on=True) if not _works(machine, part, point))


def untold(machine: Machine, name: str, point: OperatingPoint) -> bool:
    """Whether a motor that is fed is told to run by nothing."""
    part = machine.parts[name]
    return is_live(part, machine.axes, point) and not _works(machine, part, point)


def _works(machine: Machine, part: Part, point: OperatingPoint) -> bool:
    told = not waits_for_input(part, machine) or is_told_to_run(part, machine.axes, point)
    return told and is_live(part, machine.axes, point)


def told_though_off(machine: Machine, entries: Mapping[str, StateEntry], point: OperatingPoint) -> Iterator[str]:
    """The motors that a state switches off and that a drive in power is told to run there, by no coil and no output of
    a program that could as well be out while all that the state runs stays fed and its brakes stay lifted."""
    for part in _asked(machine, entries, on=False):
        if _runs(machine, part, point):
            missing = _idle(machine, entries, point)
            alike = (one for one in _with_less(point) if _idle(machine, entries, one) == missing)
            if all(_runs(machine, part, one) for one in alike):
                yield part.name


def _idle(machine: Machine, entries: Mapping[str, StateEntry], point: OperatingPoint) -> tuple[str, ...]:
    """What a state runs and nothing feeds, and the brakes that keep what it runs from turning."""
    running = [part.name for part in _asked(machine, entries, on=True)]
    held = ((brake, held_motor(machine, brake)) for brake in machine.parts.values())
    braked = [brake for brake, motor in held if motor is not None and motor.name in running]
    return *unfed(machine, entries, point), *(one.name for one in braked if not is_lifted(point, one))


def _with_less(point: OperatingPoint) -> Iterator[OperatingPoint]:
    """The machine with one coil less in, or with one output of a program less on."""
    for one in sorted(point.attracted):
        yield with_coils(point, point.attracted - {one})
    for one in sorted(actuator for actuator in point.position.moved if is_program(actuator[1])):
        position = replace(point.position, moved=point.position.moved - point.attracted - {one})
        yield operate(point.lowered, position, point)


def _runs(machine: Machine, part: Part, point: OperatingPoint) -> bool:
    return waits_for_input(part, machine) and _works(machine, part, point)


def _asked(machine: Machine, entries: Mapping[str, StateEntry], *, on: bool) -> Iterator[Part]:
    """The parts that a state runs or switches on, or those that it switches off; each with something that is fed; a
    motor without a drive has nothing, and counts as dead."""
    for name, entry in sorted(entries.items()):
        part = machine.parts.get(name)
        named = entry.mode not in ("off", "hold", "worked") if on else entry.mode == "off"
        if part is not None and named and (isinstance(part.data, Shaft) or probes_of(part, machine.axes)):
            yield part


def started(
    machine: Machine, entries: Mapping[str, StateEntry], point: OperatingPoint, pressed: Pressed
) -> OperatingPoint:
    """The point with the buttons pressed, one after the other, that bring what the state asks for.

    Of several that bring as much, one that feeds nothing that the state switches off comes first.
    """
    held: frozenset[Actuator] = frozenset()
    missing = unfed(machine, entries, point)
    while missing:
        tries = [(one, pressed(held | {one})) for one in _buttons(machine) if one not in point.position.moved | held]
        counted = [
            (len(unfed(machine, entries, tried)), _wrongly_fed(machine, entries, point, tried), one, tried)
            for one, tried in tries
        ]
        least, _, button, best = min(counted, key=lambda row: row[:3], default=(len(missing), False, ("", ""), point))
        if least >= len(missing):
            break
        point = best
        held |= {button}
        missing = unfed(machine, entries, point)
    return point


def _wrongly_fed(
    machine: Machine, entries: Mapping[str, StateEntry], before: OperatingPoint, after: OperatingPoint
) -> bool:
    return any(
        is_live(part, machine.axes, after) and not is_live(part, machine.axes, before)
        for part in _asked(machine, entries, on=False)
    )


def _buttons(machine: Machine) -> list[Actuator]:
    """What a hand works to start something: operators with a make contact in use that no stop names."""
    stops = {device for stop in machine.plan.stops.values() for device in stop.devices}
    return [
        actuator
        for name, part in sorted(machine.parts.items())
        if isinstance(part.data, HandOperated) and name not in stops and _closes(machine, part)
        for actuator in operators_on(part)
    ]


def _closes(machine: Machine, part: Part) -> bool:
    return any(
        not switch.closed_at_rest and {(part.name, switch.a), (part.name, switch.b)} <= machine.nets.joined
        for switch in part.of(Switch)
    )
