"""Brakes that are held open while the motor whose load they hold gives no torque."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Conductor
from wiring.control.layers import solved_from
from wiring.control.script import operators_of, springing_back
from wiring.design.machine import Machine
from wiring.design.motor.brakes import coil_of, coil_volts, falls, held_motor, is_lifted, runs_lifted, stays_open
from wiring.design.nets import Net
from wiring.design.operation import Operation
from wiring.design.stop.hazards import drives_of, is_live
from wiring.design.switching.dependence import depends_on
from wiring.parts.base import Part
from wiring.parts.contacts import split_pair
from wiring.parts.drives import Drive, Inverter, ServoDrive
from wiring.parts.elements import Coil
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate, program_outputs


class OpenBrake(Struct, frozen=True):
    """A brake that gets `volts` while its motor has no torque: in `state` itself, which says that the motor is off
    (`said_off`), or once all hands are off after it and no program commands. `wrong` are the conductors without any one
    of which it would hold then and still open with the motor."""

    brake: str
    motor: str
    state: str
    volts: float
    waits: bool
    wrong: tuple[Conductor, ...]
    said_off: bool = False


def open_brakes(machine: Machine, operation: Operation) -> Iterator[OpenBrake]:
    """Every brake of a load that falls, in the first state in which or after which it is so."""
    left_alone: dict[str, OperatingPoint] = {}
    for brake in machine.parts.values():
        motor = held_motor(machine, brake)
        if motor is None or not falls(motor):
            continue
        told = _told_open(operation, brake, motor)
        if told is not None:
            yield told
            continue
        for state, point in operation.states.items():
            rest = left_alone[state] = left_alone.get(state) or _left_alone(machine, point)
            waits = any(_waits(machine, drive) for drive in drives_of(motor, machine.axes))
            if stays_open(rest, brake) and (waits or not is_live(motor, machine.axes, rest)):
                wrong = tuple(_wrong(machine, operation, brake, motor, rest))
                yield OpenBrake(brake.name, motor.name, state, coil_volts(rest, brake), waits, wrong)
                break


def unknown_releases(machine: Machine) -> Iterator[tuple[str, str, str]]:
    """The brakes of loads that fall, each with a drive and its output that lifts it and that the plan does not call
    one for a brake: when it conducts is not known."""
    outputs: dict[Net, tuple[str, str]] = {}
    for part in machine.parts.values():
        data = part.data
        if not isinstance(data, Drive):
            continue
        for end in (end for pair in map(split_pair, data.outputs) if pair not in data.brake_outputs() for end in pair):
            node = part.name, data.terminals.get(end, end)
            if node in machine.nets.joined and not machine.nets.is_at_source(machine.nets.of[node]):
                outputs[machine.nets.of[node]] = part.name, end
    for brake in machine.parts.values():
        motor = held_motor(machine, brake)
        for name in sorted(depends_on(machine, (brake.name,))) if motor is not None and falls(motor) else ():
            for coil in machine.parts[name].of(Coil):
                at = {machine.nets.of[name, end] for end in (coil.a, coil.b)} & outputs.keys()
                yield from ((brake.name, *outputs[net]) for net in at)


def _told_open(operation: Operation, brake: Part, motor: Part) -> OpenBrake | None:
    """The first state of the plan in which the brake is lifted and its motor is said to be off."""
    for state, point in operation.states.items():
        entry = operation.state_entries[state].get(motor.name)
        if entry is not None and entry.mode == "off" and is_lifted(point, brake):
            volts = coil_volts(point, brake)
            return OpenBrake(brake.name, motor.name, state, volts, False, (), said_off=True)
    return None


def _left_alone(machine: Machine, point: OperatingPoint) -> OperatingPoint:
    """The machine as it goes on from a point with all hands off and no program that commands."""
    springs = springing_back(operators_of(machine.circuit))
    moved = point.position.moved - point.attracted - springs - program_outputs(machine.circuit)
    position = replace(point.position, moved=moved)
    return operate(point.lowered, position, point, known=solved_from(point).pieces)


def _waits(machine: Machine, drive: Part) -> bool:
    """Whether a drive gives no torque before it is told to: an inverter, and a servo drive whose enable is wired."""
    data = drive.data
    if not isinstance(data, ServoDrive):
        return isinstance(data, Inverter)
    others = [a for a, _ in data.signal_inputs() if data.functions.get(a, "enable") == "enable"]
    pulses = ("STEP", "PUL", "DIR")
    enables = [a for a in others if not a.upper().startswith(pulses)]
    return any((drive.name, data.terminals.get(a, a)) in machine.nets.joined for a in enables)


def _wrong(
    machine: Machine, operation: Operation, brake: Part, motor: Part, rest: OperatingPoint
) -> Iterator[Conductor]:
    """The conductors at what feeds the brake that keep it open at rest and do nothing for it while its motor runs."""
    coil = coil_of(brake)
    running = [point for point in operation.states.values() if runs_lifted(machine, brake, motor, point)]
    nets = {machine.nets.of[brake.name, end] for end in (coil.a, coil.b)}
    for wire in machine.circuit.conductors if running else ():
        if wire.kind == "shield" or machine.nets.of[wire.a] not in nets:
            continue
        if not stays_open(_without(rest, wire), brake) and all(
            is_lifted(_without(point, wire), brake) for point in running
        ):
            yield wire


def _without(point: OperatingPoint, wire: Conductor) -> OperatingPoint:
    position = replace(point.position, opened=point.position.opened | {wire.id})
    return operate(point.lowered, position, point, known=solved_from(point).pieces)
