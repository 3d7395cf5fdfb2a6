"""Whether the channels of a stop have contacts, conductors and outputs of their own, from operator to actuator."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from msgspec import Struct

from wiring.control.numeric_simulation import run_script
from wiring.control.script import Moment
from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.design.stopping import Stopping
from wiring.parts.base import split_pair
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Switch
from wiring.parts.switching import SafetyRelay


class JoinedChannels(Struct, frozen=True):
    """Two channels of a unit that meet: `conductors` and `contacts` (part, contact) that serve both."""

    unit: str
    channels: tuple[str, str]
    conductors: tuple[str, ...]
    contacts: tuple[tuple[str, str], ...]


def joined_channels(machine: Machine) -> tuple[JoinedChannels, ...]:
    """Every two channels of a stop relay that conductors or contacts at rest join outside of it."""
    found = []
    for part in machine.parts.values():
        if isinstance(part.data, SafetyRelay):
            common = _common(machine, part.name, part.data)
            ways = {pair: _channel(machine, part.name, pair, common) for pair in part.data.channels}
            for one, other in combinations(ways, 2):
                if shared := ways[one] & ways[other]:
                    found.append(JoinedChannels(part.name, (one, other), *_on(machine, part.name, shared)))
    return tuple(found)


def _common(machine: Machine, unit: str, data: SafetyRelay) -> set[Net]:
    """What several channels begin at by the choice of the unit's maker."""
    ends = [end for pair in data.channels for end in split_pair(pair)]
    return {machine.nets.of[unit, end] for end in ends if ends.count(end) > 1}


def _channel(machine: Machine, unit: str, pair: str, common: set[Net]) -> set[Net]:
    """The nets of a channel, from its two ends over contacts that are closed at rest, up to a pole of a source."""
    starts = {machine.nets.of[unit, end] for end in split_pair(pair)} - common

    def passes(edge: NetEdge) -> bool:
        closed = isinstance(edge.element, Switch) and edge.element.closed_at_rest
        return closed and edge.part != unit and edge.to not in common

    return {net for net in machine.nets.spread(starts, passes) if not machine.nets.is_at_source(net)}


def _on(machine: Machine, unit: str, nets: set[Net]) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    wires = tuple(c.id for c in machine.circuit.conductors if c.kind != "shield" and machine.nets.of[c.a] in nets)
    contacts = tuple(
        (part.name, switch.name)
        for part, switch in machine.circuit.elements(Switch)
        if isinstance(switch, Switch)
        and part.name != unit
        and {machine.nets.of[part.name, switch.a], machine.nets.of[part.name, switch.b]} <= nets
    )
    return wires, contacts


class SharedOutput(Struct, frozen=True):
    """One output contact of a unit that alone keeps `alive` fed in a stop; `coils` are those that hang on it."""

    unit: str
    contact: str
    coils: tuple[str, ...]
    stop: str
    alive: tuple[str, ...]


def shared_outputs(stopping: Stopping) -> Iterator[SharedOutput]:
    """Every output of a stop relay on which two coils hang or more, and which defeats a stop when it stays closed."""
    machine, proof = stopping.machine, stopping.proof
    crowded = dict(_crowded(machine))
    known = {fault.id: fault for fault in (*proof.faults, *proof.left_out)}
    welds = {one: known.get(f"weld:{one}") for one in crowded}
    for use in stopping.uses:
        for contact, fault in welds.items():
            if fault is None or not fault.excluded:
                continue  # what must be assumed is judged with the proof
            for device in use.devices:
                alive = run_script(proof.running, use, device, (fault,))[Moment.STOP].alive
                if alive and not any(name in one.left for one in proof.results[use.name].sound for name in alive):
                    unit = fault.subjects[0]
                    yield SharedOutput(unit, contact.partition(":")[2], crowded[contact], use.name, alive)
                    break


def _crowded(machine: Machine) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The outputs of stop relays with the parts whose coils hang on them alone, two or more."""
    coils: dict[Net, list[str]] = {}
    for part, coil in machine.circuit.elements(Coil):
        if isinstance(coil, Coil) and not coil.a.startswith("."):
            coils.setdefault(machine.nets.of[part.name, coil.a], []).append(part.name)
    for part in machine.parts.values():
        for switch in part.of(Switch) if isinstance(part.data, SafetyRelay) else ():
            behind = {name for end in (switch.a, switch.b) for name in _behind(machine, coils, part.name, end)}
            if len(behind) > 1 and not switch.closed_at_rest:
                yield f"{part.name}:{switch.name}", tuple(sorted(behind))


def _behind(machine: Machine, coils: dict[Net, list[str]], unit: str, end: str) -> list[str]:
    net = machine.nets.of[unit, end]
    return [] if machine.nets.poles_at.get(net) else [name for name in coils.get(net, ()) if name != unit]


class _TorqueOffLeft(Struct, frozen=True):
    """A drive of which a stop device takes away some torque-off inputs and leaves `fed` ones."""

    drive: str
    stop: str
    device: str
    fed: tuple[str, ...]
    motors: tuple[str, ...]


def torque_off_left(stopping: Stopping) -> Iterator[_TorqueOffLeft]:
    """Every stop that removes a motor by some of its drive's torque-off inputs and not by all."""
    machine = stopping.machine
    for effect in stopping.effects:
        for drive in machine.parts.values():
            axis = machine.axes.get(drive.name)
            if axis is None or not isinstance(drive.data, Drive):
                continue
            motors = tuple(motor.name for motor in axis.motors if motor.name in effect.removed)
            inputs = [coil.moves for coil in drive.of(Coil) if coil.moves.startswith("sto")]
            fed = tuple(name for name in inputs if (drive.name, name) in effect.point.attracted)
            if motors and fed and len(fed) < len(inputs):
                yield _TorqueOffLeft(drive.name, effect.stop, effect.device, fed, motors)
