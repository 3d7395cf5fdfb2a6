"""The reset loops of stops: whether a hand must close them, and what stands in them."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.parts.contacts import split_pair
from wiring.parts.elements import Switch
from wiring.parts.operators import HandOperated
from wiring.parts.signals import IoCard
from wiring.parts.switching import Contactor, SafetyRelay


class ResetLoop(Struct, frozen=True):
    """The loop between the reset terminals of a unit. `closed`: it is closed while nothing is worked or attracted;
    `open`: nothing that is worked closes it."""

    unit: str
    mode: str
    closed: bool
    open: bool
    devices: tuple[str, ...]


def reset_loops(machine: Machine) -> Iterator[ResetLoop]:
    """The loop of every stop relay that is fed and of which an output is wired."""
    for part in machine.parts.values():
        if isinstance(part.data, SafetyRelay) and _is_used(machine, part.name, part.data):
            start, goal = (machine.nets.of[part.name, end] for end in split_pair(part.data.reset))
            at_rest, _ = _reached(machine, part.name, start, at_rest=True)
            worked, contacts = _reached(machine, part.name, start, at_rest=False)
            mode = part.data.reset_mode
            if goal not in worked and any(machine.nets.poles_at.get(net) for net in _beyond(machine, part.name, goal)):
                worked, contacts = _reached(machine, part.name, goal, at_rest=False)  # another source closes it
            devices = tuple(sorted({edge.part for edge in contacts}))
            yield ResetLoop(part.name, mode, goal in at_rest, goal not in worked, devices)


class SelfReset(Struct, frozen=True):
    """A unit that comes on by itself when a device lets its channels close again, and why; `idle` are the buttons that
    the plan names as resets of the device and for which no loop waits."""

    unit: str
    why: str
    idle: tuple[str, ...]


def self_resets(machine: Machine, device: str) -> Iterator[SelfReset]:
    """The units in whose channels a contact of a device stands and that wait for no hand: by their mode, or because
    their loop is closed."""
    loops = list(reset_loops(machine))
    waited_for = {name for loop in loops if not loop.closed for name in loop.devices}
    named = dict.fromkeys(stop.reset for stop in machine.plan.stops.values() if stop.reset and device in stop.devices)
    idle = tuple(name for name in named if name in machine.parts and name not in waited_for)
    for loop in loops:
        data = machine.parts[loop.unit].data
        by_itself = loop.closed and loop.mode != "monitored"
        if by_itself and isinstance(data, SafetyRelay) and device in _in_channels(machine, loop.unit, data):
            why = "is set to reset_mode: automatic" if loop.mode == "automatic" else "has its reset loop closed"
            yield SelfReset(loop.unit, why, idle)


def _in_channels(machine: Machine, unit: str, data: SafetyRelay) -> set[str]:
    """The parts whose contacts stand in the channels of a unit."""
    starts = [machine.nets.of[unit, end] for pair in data.channels for end in split_pair(pair)]
    return {edge.part for start in starts for edge in _reached(machine, unit, start, at_rest=False)[1]}


class ResetElsewhere(Struct, frozen=True):
    """A device that `stops` name as their reset and that closes the loop of none of the `units`; `by`: what does."""

    reset: str
    stops: tuple[str, ...]
    units: tuple[str, ...]
    by: tuple[str, ...]
    by_program: bool


def resets_elsewhere(machine: Machine) -> Iterator[ResetElsewhere]:
    """The resets of the plan that lie in no loop; none where a program that reads them closes one."""
    loops = [loop for loop in reset_loops(machine) if not loop.open and loop.mode != "automatic"]
    inside = {name for loop in loops for name in loop.devices}
    programs = [name for name in inside if isinstance(machine.parts[name].data, IoCard)]
    if not loops:
        return
    for reset in dict.fromkeys(stop.reset for stop in machine.plan.stops.values() if stop.reset):
        if reset in machine.parts and reset not in inside and not any(_reads(machine, one, reset) for one in programs):
            stops = tuple(name for name, stop in machine.plan.stops.items() if stop.reset == reset)
            by = tuple(sorted(n for n in inside if isinstance(machine.parts[n].data, HandOperated | IoCard)))
            yield ResetElsewhere(reset, stops, tuple(loop.unit for loop in loops), by, bool(programs))


def _reads(machine: Machine, card: str, button: str) -> bool:
    """Whether a contact of a button leads to an input of a card."""
    data = machine.parts[card].data
    assert isinstance(data, IoCard)
    inputs = {machine.nets.of[card, data.terminals.get(name, name)] for name in data.inputs}
    ends = {machine.nets.of[button, end] for end in machine.parts[button].terminals}
    return bool(inputs & ends)


def _is_used(machine: Machine, name: str, data: SafetyRelay) -> bool:
    ends = [end for pair in (*data.outputs, *data.delayed) for end in split_pair(pair)]
    return any((name, end) in machine.nets.joined for end in ends)


def _reached(machine: Machine, unit: str, start: Net, *, at_rest: bool) -> tuple[set[Net], list[NetEdge]]:
    """The nets that contacts join to one, all of them or those closed at rest, and these contacts."""

    def passes(edge: NetEdge) -> bool:
        switch = edge.element
        return edge.part != unit and isinstance(switch, Switch) and (not at_rest or switch.closed_at_rest)

    found = set(machine.nets.spread((start,), passes))
    inside = (net for net in found if not machine.nets.is_at_source(net))
    return found, [edge for net in inside for edge in machine.nets.edges_at.get(net, ()) if passes(edge)]


def _beyond(machine: Machine, unit: str, goal: Net) -> set[Net]:
    """The nets to which contacts lead from the far end of a loop."""
    return _reached(machine, unit, goal, at_rest=False)[0]


def loop_starts(machine: Machine) -> Iterator[tuple[str, Node]]:
    """Where reset loops begin: at a safety relay, or at the make contact of a reset device of relay logic."""
    units = [(part.name, part.data) for part in machine.parts.values() if isinstance(part.data, SafetyRelay)]
    for name, data in units:
        yield from ((name, (name, end)) for end in split_pair(data.reset))
    for reset in dict.fromkeys(stop.reset for stop in machine.plan.stops.values() if stop.reset) if not units else ():
        part = machine.parts.get(reset)
        for switch in part.of(Switch) if part else ():
            if not switch.closed_at_rest:
                yield reset, (reset, switch.a)
                yield reset, (reset, switch.b)


def reset_contacts(machine: Machine, owner: str, start: Node) -> Iterator[tuple[str, Switch]]:
    """The break contacts of contactors in a reset loop, each once."""
    _, contacts = _reached(machine, owner, machine.nets.of[start], at_rest=False)
    for name, contact in dict.fromkeys((edge.part, edge.element) for edge in contacts):
        if isinstance(machine.parts[name].data, Contactor) and isinstance(contact, Switch) and contact.closed_at_rest:
            yield name, contact


def watched(machine: Machine) -> frozenset[str]:
    """The contactors of which a mirror contact that nothing bridges stands in a reset loop."""
    return frozenset(
        name
        for owner, start in loop_starts(machine)
        for name, contact in reset_contacts(machine, owner, start)
        if contact.mirror and not _is_passed_by(machine, owner, name, contact)
    )


def _is_passed_by(machine: Machine, owner: str, name: str, contact: Switch) -> bool:
    """Whether other contacts join the ends of one."""

    def passes(edge: NetEdge) -> bool:
        mine = edge.part == name and edge.element == contact
        return not mine and edge.part != owner and isinstance(edge.element, Switch)

    one, other = (machine.nets.of[name, end] for end in (contact.a, contact.b))
    return other in machine.nets.spread((one,), passes)
