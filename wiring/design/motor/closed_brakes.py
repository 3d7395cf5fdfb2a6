"""Motors that run against their closed brake: in a state of the plan, or while a button of theirs is pressed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.script import operators_of, springing_back
from wiring.design.machine import Machine
from wiring.design.motor.brakes import coil_of, coil_volts, held_motor
from wiring.design.operation import Operation
from wiring.design.stop.hazards import is_live
from wiring.parts.base import Part
from wiring.plan.models import StateEntry
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate, operate_on

#: Below this share of what lifts it a brake counts as not fed at all, which no low voltage explains (own choice).
_FED_SHARE = 0.2


class ClosedBrake(Struct, frozen=True):
    """A brake that gets `volts` while its motor runs: in `states`, or while one of the `buttons` alone is pressed."""

    brake: str
    motor: str
    volts: float
    states: tuple[str, ...]
    buttons: tuple[str, ...]


def closed_brakes(machine: Machine, operation: Operation) -> Iterator[ClosedBrake]:
    """Every brake that is closed while its motor runs. A button counts where no state has the motor against it."""
    for brake in machine.parts.values():
        motor = held_motor(machine, brake)
        if motor is None:
            continue
        running = [state for state, entries in operation.state_entries.items() if _runs(motor, entries)]
        points = {state: operation.states[state] for state in running}
        against = {state: point for state, point in points.items() if _is_against(machine, brake, motor, point)}
        pressed = {} if against else _pressed(machine, operation, brake, motor)
        if against or pressed:
            volts = max(coil_volts(point, brake) for point in (*against.values(), *pressed.values()))
            yield ClosedBrake(brake.name, motor.name, volts, tuple(against), tuple(pressed))


def _runs(motor: Part, entries: Mapping[str, StateEntry]) -> bool:
    entry = entries.get(motor.name)
    return entry is not None and entry.mode not in ("hold", "off")


def _is_against(machine: Machine, brake: Part, motor: Part, point: OperatingPoint) -> bool:
    coil = coil_of(brake)
    return is_live(motor, machine.axes, point) and coil_volts(point, brake) <= _FED_SHARE * coil.pick_up_v


def _pressed(machine: Machine, operation: Operation, brake: Part, motor: Part) -> dict[str, OperatingPoint]:
    """The buttons each of which alone makes a motor across the line run against its brake, from a state that leaves it
    at rest once all hands are off."""
    springs = springing_back(operators_of(machine.circuit))
    if motor.name in machine.topology.drive_of or not springs:
        return {}
    found: dict[str, OperatingPoint] = {}
    for point in operation.states.values():
        moved = point.position.moved - point.attracted - springs
        rest = operate(point.lowered, replace(point.position, moved=moved), point)
        if is_live(motor, machine.axes, rest):
            continue
        for button in sorted(springs):
            at = operate_on(rest, button)
            if button[0] not in found and _is_against(machine, brake, motor, at):
                found[button[0]] = at
    return found
