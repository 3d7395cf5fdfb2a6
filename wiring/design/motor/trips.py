"""Brakes that stay open when the torque of their motor goes by itself: its drive trips, a device in its feed opens."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.motor.brakes import falls, held_motor, runs_lifted, stays_open
from wiring.design.motor.late_brakes import AtItsMotor, late_brakes
from wiring.design.nets import NetEdge
from wiring.design.operation import Operation
from wiring.design.stop.hazards import is_live
from wiring.design.switching.dependence import depends_on
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Pole, Switch
from wiring.parts.signals import IoCard
from wiring.solver.settling import operate_on


class OpenAfterTrip(Struct, frozen=True):
    """A brake that stays open after a trip of `by`, the drive of its motor or a device in the feed of it.

    `outputs` of a drive are those that could tell of it, None for a device; `unused` is its output for a brake that
    nothing is wired to, "" where there is none.
    """

    brake: str
    motor: str
    by: str
    outputs: tuple[str, ...] | None
    unused: str = ""


def open_after_trips(machine: Machine, operation: Operation) -> Iterator[OpenAfterTrip]:
    """Every brake of a load that falls; one on the terminals of its own motor follows as late as it does."""
    own = {one.brake for one in late_brakes(machine, operation) if isinstance(one, AtItsMotor)}
    for brake in machine.parts.values():
        motor = held_motor(machine, brake)
        if motor is None or not falls(motor) or brake.name in own:
            continue
        drive = machine.topology.drive_of.get(motor.name)
        if drive is None:
            yield from _after_a_device(machine, operation, brake, motor)
        elif not _follows(machine, brake, drive):
            assert isinstance(drive.data, Drive)
            outputs = tuple(a for a, _ in drive.data.fault_outputs())
            unused = [a for a, _ in drive.data.brake_outputs() if (drive.name, a) not in machine.nets.joined]
            yield OpenAfterTrip(brake.name, motor.name, drive.name, outputs, min(unused, default=""))


def _follows(machine: Machine, brake: Part, drive: Part) -> bool:
    """Whether a brake hangs on a contact of a drive, or on what reads one of its outputs: a card tells another one."""
    assert isinstance(drive.data, Drive)
    on = depends_on(machine, (brake.name,))
    readers = {name for pair in drive.data.fault_outputs() for name in _readers(machine, drive, pair)}
    cards = {name for name, part in machine.parts.items() if isinstance(part.data, IoCard)}
    return drive.name in on or bool(on & readers) or bool(on & cards and readers & cards)


def _readers(machine: Machine, drive: Part, pair: tuple[str, str]) -> set[str]:
    """The cards with an input, and the parts with a coil, at an output of a drive that is wired at both ends."""
    nets = machine.nets
    ends = [(drive.name, end) for end in pair]
    if not set(ends) <= nets.joined:
        return set()
    told = [
        nets.of[end] for end in ends if not any(map(nets.is_at_source, nets.spread((nets.of[end],), _is_no(drive))))
    ]
    found = set()
    for name, terminal in (node for net in told for node in nets.members[net]):
        part = machine.parts[name]
        coils = {end for coil in part.of(Coil) for end in (coil.a, coil.b)}
        if terminal in coils or (isinstance(part.data, IoCard) and terminal in part.data.inputs):
            found.add(name)
    return found


def _is_no(drive: Part) -> Callable[[NetEdge], bool]:
    """Whether an edge is none of a drive: its output feeds what reads it, and not the other way round."""
    return lambda edge: edge.part != drive.name


def _after_a_device(machine: Machine, operation: Operation, brake: Part, motor: Part) -> Iterator[OpenAfterTrip]:
    """The devices that take the power from a motor across the line and leave its brake open, from the first state in
    which it runs with its brake lifted."""
    running = next((point for point in operation.states.values() if runs_lifted(machine, brake, motor, point)), None)
    for device in machine.parts.values() if running is not None else ():
        poles = frozenset(f"{device.name}:{pole.name}" for pole in device.of(Pole))
        if running is None or not poles:
            continue
        trip = [(device.name, "trip")] if any(one.actuator == "trip" for one in device.of(Switch)) else []
        point = operate_on(running, *trip, opened=poles)
        if not is_live(motor, machine.axes, point) and stays_open(point, brake):
            yield OpenAfterTrip(brake.name, motor.name, device.name, None)
