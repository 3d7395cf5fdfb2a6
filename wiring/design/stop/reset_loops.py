"""Where reset loops begin, and the break contacts in them."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.parts.base import split_pair
from wiring.parts.elements import Switch
from wiring.parts.switching import Contactor, SafetyRelay


def reset_starts(design: Design) -> Iterator[tuple[str, Node]]:
    """Where reset loops begin: at a safety relay, or at the make contact of a reset device of relay logic."""
    units = [(part.name, part.data) for part in design.parts.values() if isinstance(part.data, SafetyRelay)]
    for name, data in units:
        yield name, (name, split_pair(data.reset)[0])
    for reset in dict.fromkeys(stop.reset for stop in design.plan.stops.values() if stop.reset) if not units else ():
        part = design.parts.get(reset)
        for switch in part.of(Switch) if part else ():
            if not switch.closed_at_rest:
                yield reset, (reset, switch.a)
                yield reset, (reset, switch.b)


def reset_contacts(design: Design, owner: str, start: Node) -> Iterator[tuple[str, Switch]]:
    """The break contacts of contactors in a reset loop."""
    ahead = [design.nets.of[start]]
    seen = set(ahead)
    while ahead:
        net = ahead.pop()
        if design.nets.is_at_source(net):
            continue
        for edge in design.nets.edges_at.get(net, ()):
            if not isinstance(edge.element, Switch) or edge.part == owner or edge.to in seen:
                continue
            seen.add(edge.to)
            ahead.append(edge.to)
            if isinstance(design.parts[edge.part].data, Contactor) and edge.element.closed_at_rest:
                yield edge.part, edge.element
