"""Whether the channels of a stop have contacts, conductors and outputs of their own, from operator to actuator."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

from msgspec import Struct

from wiring.control.fault_record import Fault
from wiring.control.numeric_simulation import left_alive
from wiring.control.script import StopUse
from wiring.control.sound import SoundStop
from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.design.stop.records import StopProof
from wiring.design.stop.stopping import Stopping
from wiring.parts.contacts import split_pair
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Switch
from wiring.parts.switching import SafetyRelay
from wiring.solver.operating import OperatingPoint


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


class StrayChannel(Struct, frozen=True):
    """A channel of a unit that begins at the pole of a `source` and not at the terminal of the unit made for it."""

    unit: str
    channel: str
    source: str
    contacts: tuple[tuple[str, str], ...]


def stray_channels(machine: Machine) -> Iterator[StrayChannel]:
    """Every channel whose contacts at rest lead from a pole of a source to its end, unless the unit begins there too;
    outputs of semiconductors give plus by their build."""
    for part in machine.parts.values():
        for pair in part.data.channels if isinstance(part.data, SafetyRelay) else ():
            begin, end = (machine.nets.of[part.name, one] for one in split_pair(pair))
            reached = set(machine.nets.spread((end,), _mechanical(part.name))) - {begin, end}
            poles = [pole for net in sorted(reached) for pole in machine.nets.poles_at.get(net, ()) if pole.main]
            if poles and not {begin, end} & machine.nets.poles_at.keys():
                yield StrayChannel(part.name, pair, poles[0].source, _on(machine, part.name, reached | {end})[1])


def _mechanical(unit: str) -> Callable[[NetEdge], bool]:
    """What passes the contacts that are closed at rest, other than those of a unit."""

    def passes(edge: NetEdge) -> bool:
        element = edge.element
        return isinstance(element, Switch) and element.closed_at_rest and not element.solid_state and edge.part != unit

    return passes


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
    """One output contact of a unit that alone keeps `alive` fed in a stop.

    `parts` are those whose coils or inputs hang on it, `coils` these, each as the terminal where it is one of several.
    """

    unit: str
    contact: str
    parts: tuple[str, ...]
    coils: tuple[str, ...]
    stop: str
    alive: tuple[str, ...]


class _Behind(Struct, frozen=True, order=True):
    """A coil or an input that hangs on an output: its part, what it moves, and how it is called."""

    part: str
    moves: str
    name: str


def shared_outputs(stopping: Stopping) -> Iterator[SharedOutput]:
    """Every output of a stop relay on which two channels hang or more, and which defeats a stop when it stays closed.

    A channel is the coil of a contactor, a torque-off input of a drive, or an input of another unit.
    """
    machine, proof = stopping.machine, stopping.proof
    crowded = dict(_crowded(machine))
    known = {fault.id: fault for fault in (*proof.faults, *proof.left_out)}
    welds = {one: known.get(f"weld:{one}") for one in crowded}
    told: set[tuple[str, str]] = set()
    for running, use in ((one.running, use) for one in stopping.from_states for use in one.uses):
        for contact, fault in welds.items():
            if fault is None or not fault.excluded or (contact, use.name) in told:
                continue  # what must be assumed is judged with the proof
            for device in use.devices:
                alive = left_alive(running, use, device, (fault,))
                if alive and not any(name in one.left for one in _sound(proof, use) for name in alive):
                    holding = _holding(stopping, running, use, device, (fault, alive), crowded[contact])
                    if len(holding) > 1:
                        told.add((contact, use.name))
                        parts = tuple(dict.fromkeys(one.part for one in holding))
                        names = tuple(one.name for one in holding)
                        yield SharedOutput(fault.subjects[0], contact.partition(":")[2], parts, names, use.name, alive)
                    break


def _sound(proof: StopProof, use: StopUse) -> tuple[SoundStop, ...]:
    """The devices of a stop without a fault; those of the first state where this one is proved with it."""
    return (proof.results.get(use.called) or proof.results[use.name]).sound


def _holding(
    stopping: Stopping,
    running: OperatingPoint,
    use: StopUse,
    device: str,
    stuck: tuple[Fault, tuple[str, ...]],
    behind: Sequence[_Behind],
) -> list[_Behind]:
    """Those of what hangs on a stuck output without which less stays alive: the channels that it joins."""
    fault, alive = stuck
    known = {one.id: one for one in stopping.proof.faults}
    dead = {one: known.get(f"dead:{one.part}:{one.moves}") for one in behind}
    return [
        one
        for one, lost in dead.items()
        if lost is None or set(left_alive(running, use, device, (fault, lost))) < set(alive)
    ]


def _crowded(machine: Machine) -> Iterator[tuple[str, tuple[_Behind, ...]]]:
    """The outputs of stop relays with what hangs on them alone, over break contacts too: two channels or more."""
    coils: dict[Net, list[_Behind]] = {}
    for part, coil in machine.circuit.elements(Coil):
        if not coil.a.startswith("."):
            several = len({one.moves for one in part.of(Coil)}) > 1
            name = f"{part.name}:{coil.a}" if several else part.name
            coils.setdefault(machine.nets.of[part.name, coil.a], []).append(_Behind(part.name, coil.moves, name))
    for part in machine.parts.values():
        for switch in part.of(Switch) if isinstance(part.data, SafetyRelay) else ():
            behind = {one for end in (switch.a, switch.b) for one in _behind(machine, coils, part.name, end)}
            if len({(one.part, one.moves) for one in behind}) > 1 and not switch.closed_at_rest:
                yield f"{part.name}:{switch.name}", tuple(sorted(behind))


def _behind(machine: Machine, coils: dict[Net, list[_Behind]], unit: str, end: str) -> list[_Behind]:
    net = machine.nets.of[unit, end]
    if machine.nets.poles_at.get(net):
        return []

    def passes(edge: NetEdge) -> bool:
        rests = isinstance(edge.element, Switch) and edge.element.closed_at_rest
        return rests and edge.part != unit and not machine.nets.is_at_source(edge.to)

    nets = machine.nets.spread((net,), passes)
    return [one for reached in nets for one in coils.get(reached, ()) if one.part != unit]


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
