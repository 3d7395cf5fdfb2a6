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
            devices = tuple(sorted({edge.part for edge in contacts}))
            yield ResetLoop(part.name, mode, goal in at_rest, goal not in worked, devices)


class ResetElsewhere(Struct, frozen=True):
    """A device that `stops` name as their reset and that closes the loop of none of the `units`; `by`: what does."""

    reset: str
    stops: tuple[str, ...]
    units: tuple[str, ...]
    by: tuple[str, ...]


def resets_elsewhere(machine: Machine) -> Iterator[ResetElsewhere]:
    """The resets of the plan that lie in no loop; none where a program closes one."""
    loops = [loop for loop in reset_loops(machine) if not loop.open and loop.mode != "automatic"]
    inside = {name for loop in loops for name in loop.devices}
    if not loops or any(isinstance(machine.parts[name].data, IoCard) for name in inside):
        return
    for reset in dict.fromkeys(stop.reset for stop in machine.plan.stops.values() if stop.reset):
        if reset in machine.parts and reset not in inside:
            stops = tuple(name for name, stop in machine.plan.stops.items() if stop.reset == reset)
            by = tuple(sorted(name for name in inside if isinstance(machine.parts[name].data, HandOperated)))
            yield ResetElsewhere(reset, stops, tuple(loop.unit for loop in loops), by)


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


def loop_starts(machine: Machine) -> Iterator[tuple[str, Node]]:
    """Where reset loops begin: at a safety relay, or at the make contact of a reset device of relay logic."""
    units = [(part.name, part.data) for part in machine.parts.values() if isinstance(part.data, SafetyRelay)]
    for name, data in units:
        yield name, (name, split_pair(data.reset)[0])
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
