"""Loads both of whose ends lie on one pole of one source: whatever the contacts do, no voltage stands across them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.connection.never_closed import Across, live_elements
from wiring.design.design import Design
from wiring.design.nets import Net, SourcePole
from wiring.parts.base import Part
from wiring.parts.elements import Function, Resistance
from wiring.walks import walk, way_to


class OnOnePole(Struct, frozen=True):
    """A load, its ends, and the pole that both of them reach and no other; `joined` where metal joins them."""

    part: Part
    ends: tuple[Node, Node]
    pole: SourcePole
    joined: bool


def loads_on_one_pole(design: Design) -> Iterator[OnOnePole]:
    """Each pair of ends of a load, a coil or the input of a supply that lie on one pole; no signal inputs."""
    for part, element in live_elements(design):
        ends = (part.name, element.a), (part.name, element.b)
        if _is_signal(part, element):
            continue
        pole = _only_pole(design, *ends)
        if pole is not None:
            yield OnOnePole(part, ends, pole, design.nets.of[ends[0]] == design.nets.of[ends[1]])


def _is_signal(part: Part, element: Across) -> bool:
    functions = {part.terminals[end].function for end in (element.a, element.b)}
    return isinstance(element, Resistance) and (not element.load or bool(functions & {Function.INPUT, Function.COMMON}))


def _only_pole(design: Design, a: Node, b: Node) -> SourcePole | None:
    """The one pole that both ends reach, unless an end reaches something else by a load that lies in series with it.

    A lamp across a contact has both its ends on the line while the contact is closed, and lights through the coil
    behind it while it is open.
    """
    nets = design.nets
    found = {nets.of[r.pole.node]: r.pole for end in (a, b) for r in nets.reach(end).sources}
    if len(found) != 1 or not all(nets.reach(end).sources for end in (a, b)):
        return None
    [(goal, pole)] = found.items()
    if not pole.main or nets.of[a] == nets.of[b]:
        return pole if pole.main else None
    ways = [{nets.of[end], *_way(design, nets.of[end], goal)} for end in (a, b)]
    lone = all(not _others(design, end, ways[0] & ways[1]) for end in (a, b))
    return pole if lone else None


def _onward(design: Design, net: Net) -> Iterator[tuple[Net, Net]]:
    for edge in () if design.nets.is_at_source(net) else design.nets.edges_at.get(net, ()):
        yield edge.to, edge.to


def _way(design: Design, start: Net, goal: Net) -> list[Net]:
    return way_to(walk([start], lambda net: _onward(design, net), {goal}), {goal})


def _others(design: Design, end: Node, trunk: set[Net]) -> set[str]:
    """The other parts that take a current on what an end reaches before the way that both ends share."""
    start = design.nets.of[end]
    if start in trunk:
        return set()
    own = walk([start], lambda net: ((to, to) for to, _ in _onward(design, net) if to not in trunk))
    return {
        name
        for net in own
        for name, terminal in design.nets.members[net]
        if name in design.parts and name != end[0] and _takes(design.parts[name], terminal)
    }


def _takes(part: Part, terminal: str) -> bool:
    return any(terminal in (element.a, element.b) for element in part.of(*get_args(Across)))
