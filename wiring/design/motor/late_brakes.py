"""Brakes that hold only some time after the torque of their motor has gone, or not at all, by how they are fed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.motor.brakes import coil_of, held_motor, runs_lifted, stays_open
from wiring.design.operation import Operation
from wiring.design.stop.hazards import is_live
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Function, Logic
from wiring.parts.sources import Rectifier
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate_on


class AtItsMotor(Struct, frozen=True):
    """A brake that hangs on the terminals of its own motor, which `drive` feeds, "" where none does."""

    brake: str
    motor: str
    drive: str


class OnTheACSide(Struct, frozen=True):
    """A brake that nothing parts from its rectifier: whatever switches it does so on the AC side."""

    brake: str
    motor: str
    rectifier: str


class AfterTheTorque(Struct, frozen=True):
    """A brake whose coil a stop device leaves fed for `lag_s` after the torque has gone, by the delays `by`."""

    brake: str
    motor: str
    device: str
    lag_s: float
    by: tuple[str, ...]


LateBrake = AtItsMotor | OnTheACSide | AfterTheTorque


def late_brakes(machine: Machine, operation: Operation) -> Iterator[LateBrake]:
    """Every brake with a motor that holds too late by how it is fed."""
    for brake in machine.parts.values():
        motor = held_motor(machine, brake)
        if motor is None:
            continue
        rectifier = _rectifier_at(machine, brake)
        if _hangs_on(machine, motor, rectifier or brake):
            drive = machine.topology.drive_of.get(motor.name)
            yield AtItsMotor(brake.name, motor.name, drive.name if drive else "")
            continue
        if rectifier is not None:
            yield OnTheACSide(brake.name, motor.name, rectifier.name)
        yield from _after_the_torque(machine, operation, brake, motor)


def _nets(machine: Machine, part: Part, a: str, b: str) -> frozenset[tuple[str, str]]:
    return frozenset({machine.nets.of[part.name, a], machine.nets.of[part.name, b]})


def _rectifier_at(machine: Machine, brake: Part) -> Part | None:
    """The rectifier whose output metal alone joins to a brake."""
    coil = coil_of(brake)
    ends = _nets(machine, brake, coil.a, coil.b)
    bridges = (part for part in machine.parts.values() if isinstance(part.data, Rectifier))
    return next((part for part in bridges if len(ends) == 2 and _nets(machine, part, "+", "-") == ends), None)


def _hangs_on(machine: Machine, motor: Part, fed: Part) -> bool:
    """Whether metal alone joins both ends of a brake, or of its rectifier, to phases of a motor."""
    a, b = ("AC1", "AC2") if isinstance(fed.data, Rectifier) else (coil_of(fed).a, coil_of(fed).b)
    ends = _nets(machine, fed, a, b)
    phases = {
        machine.nets.of[motor.name, end.name] for end in motor.terminals.values() if end.function is Function.MOTOR
    }
    return len(ends) == 2 and ends <= phases


def _after_the_torque(machine: Machine, operation: Operation, brake: Part, motor: Part) -> Iterator[AfterTheTorque]:
    """The worst of all stop devices, from every state in which the motor turns with its brake lifted."""
    delays = _delays(machine)
    devices = dict.fromkeys(name for stop in machine.plan.stops.values() for name in stop.devices)
    running = [point for point in operation.states.values() if runs_lifted(machine, brake, motor, point)]
    found = [_lag(machine, brake, motor, point, device, delays) for point in running if delays for device in devices]
    worst = max((one for one in found if one is not None), key=lambda one: (one.lag_s, one.device), default=None)
    if worst is not None:
        yield worst


def _delays(machine: Machine) -> Mapping[Actuator, float]:
    """What lets go some time after it has lost its power or its channels [s]."""
    units = {(part.name, unit.outputs): unit.off_delay_s for part, unit in machine.circuit.elements(Logic)}
    coils = {(part.name, coil.moves): coil.off_delay_s for part, coil in machine.circuit.elements(Coil)}
    return {actuator: seconds for actuator, seconds in (units | coils).items() if seconds > 0.0}


def _lag(
    machine: Machine,
    brake: Part,
    motor: Part,
    running: OperatingPoint,
    device: str,
    delays: Mapping[Actuator, float],
) -> AfterTheTorque | None:
    """Moment by moment what a stop device takes away first; None where the brake is no later than the torque, or a
    delay is not what keeps it."""
    torque_s = brake_s = inf
    by: tuple[str, ...] = ()
    for now in sorted({0.0, *delays.values()}):
        held = [one for one, seconds in delays.items() if seconds > now and one in running.attracted]
        moved = (device, "operator")
        worked = held if device in machine.circuit.hold_to_run else [moved, *held]
        point = operate_on(running, *worked, let_go=moved)
        if not is_live(motor, machine.axes, point):
            torque_s = min(torque_s, now)
        if not stays_open(point, brake):
            brake_s = now
            break
        by = tuple(sorted(name for name, _ in held))
    if not torque_s < brake_s < inf:
        return None
    return AfterTheTorque(brake.name, motor.name, device, brake_s - torque_s, by)
