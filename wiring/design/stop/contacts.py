"""The contacts of stop devices in the stop circuit, and channels at rest."""

from __future__ import annotations

from collections.abc import Iterator, Set

from wiring.design.design import Design
from wiring.design.edits import led_to
from wiring.design.nets import Net, NetEdge
from wiring.design.rewiring import wires_at
from wiring.design.stop.return_side import Misplaced
from wiring.parts.contacts import split_pair
from wiring.parts.elements import Coil, Switch
from wiring.parts.switching import SafetyRelay
from wiring.plan.edits import Edit
from wiring.walks import walk


def make_contacts(design: Design) -> dict[str, list[str]]:
    """The make contacts of stop devices in the stop circuit, by device; not of those that stop by being let go."""
    devices = {device for stop in design.plan.stops.values() for device in stop.devices} - design.circuit.hold_to_run
    found: dict[str, list[str]] = {}
    if any(_has_make_contact(design, name) for name in devices):
        for start in _circuit_ends(design):
            for name, switch in _contacts_from(design, start, devices):
                if not switch.closed_at_rest and switch.name not in found.setdefault(name, []):
                    found[name].append(switch.name)
    return {name: contacts for name, contacts in sorted(found.items()) if contacts}


def _has_make_contact(design: Design, name: str) -> bool:
    part = design.parts.get(name)
    return part is not None and any(not s.closed_at_rest for s in part.of(Switch))


def _circuit_ends(design: Design) -> Iterator[Net]:
    """Where the stop circuit ends: the return of a channel of a stop relay, and coils."""
    for part in design.parts.values():
        if isinstance(part.data, SafetyRelay):
            yield from (design.nets.of[part.name, split_pair(pair)[1]] for pair in part.data.channels)
            continue
        for coil in part.of(Coil):
            if coil.inductive:
                yield from (design.nets.of[part.name, end] for end in (coil.a, coil.b))


def _contacts_from(design: Design, start: Net, devices: Set[str]) -> Iterator[tuple[str, Switch]]:
    """The contacts of stop devices that lead from a net to its feed, one behind the other."""
    seen = {start}
    ahead = [start]
    while ahead:
        net = ahead.pop()
        if design.nets.is_at_source(net):
            continue
        for edge in design.nets.edges_at.get(net, ()):
            if edge.part in devices and isinstance(edge.element, Switch) and edge.to not in seen:
                seen.add(edge.to)
                ahead.append(edge.to)
                yield edge.part, edge.element


def is_channel_closed(design: Design, relay: str, pair: str, opened: str) -> bool:
    """Whether a channel is closed through contacts at rest, without those of one device."""
    start, goal = (design.nets.of[relay, end] for end in split_pair(pair))

    def onward(net: Net) -> Iterator[tuple[NetEdge, Net]]:
        for edge in design.nets.edges_at.get(net, ()):
            passes = not isinstance(edge.element, Switch) or edge.element.closed_at_rest
            if passes and edge.part not in (opened, relay):
                yield edge, edge.to

    return goal in walk([start], onward, {goal})


def changed_over(design: Design, coil: Misplaced) -> tuple[Edit, ...]:
    """Coil and contact in the other order, where nothing else is joined to either between them."""
    wire = design.circuit.conductor[coil.conductor]
    switch = next((one for one in design.circuit.inner if one.id == coil.contact), None)
    relay = next((one for one in design.parts[coil.part].of(Coil) if (coil.part, one.a) in wire.ends), None)
    relay = relay or next((one for one in design.parts[coil.part].of(Coil) if (coil.part, one.b) in wire.ends), None)
    if switch is None or not isinstance(relay, Coil):
        return ()
    near = next(((coil.part, end) for end in (relay.a, relay.b) if (coil.part, end) in wire.ends), None)
    first = next((end for end in (switch.a, switch.b) if end in wire.ends), None)
    if near is None or first is None:
        return ()
    far = (coil.part, relay.b if near[1] == relay.a else relay.a)
    last = switch.b if first == switch.a else switch.a
    feed, back = wires_at(design, far), wires_at(design, last)
    if any(len(wires_at(design, end)) != 1 for end in (near, first, far, last)):
        return ()
    moves = (
        led_to(design, feed[0], far, first),
        led_to(design, wire, near, far),
        led_to(design, wire, first, last),
        led_to(design, back[0], last, near),
    )
    return tuple(edit for edits in moves for edit in edits) if all(moves) else ()
