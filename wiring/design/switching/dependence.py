"""What a part needs to be fed: contacts on the way to its sources, the coils that move them, and what feeds those."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator

from wiring.circuit.model import Node
from wiring.design.machine import Machine
from wiring.design.nets import Net
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Link, Pole, Resistance, Switch


def depends_on(machine: Machine, names: Iterable[str]) -> frozenset[str]:
    """The parts on which the feed of some parts rests, these among them.

    Every contact that a way from their ends passes counts, up to the first source; so does the part that moves it, and
    a source that is reached, each with all on which its own feed rests.
    """
    found: set[str] = set()
    ahead = deque(names)
    while ahead:
        name = ahead.popleft()
        if name in found or name not in machine.parts:
            continue
        found.add(name)
        ahead.extend(_on_the_way(machine, machine.parts[name]))
    return frozenset(found)


def _on_the_way(machine: Machine, part: Part) -> Iterator[str]:
    """The parts of contacts and sources between the ends of what a part takes and the first source on each way."""
    taking = [element for element in part.elements if isinstance(element, Input | Draw | Coil | Resistance)]
    ends = [(part.name, end) for element in taking for end in (element.a, element.b)]
    seen: set[Net] = {machine.nets.of[end] for end in ends if end in machine.nets.of}
    ahead = deque(seen)
    while ahead:
        net = ahead.popleft()
        yield from _open_at(machine, machine.nets.members[net])
        poles = [pole for pole in machine.nets.poles_at.get(net, ()) if pole.main]
        if poles:
            yield from (pole.node[0] for pole in poles)
            continue
        for edge in machine.nets.edges_at.get(net, ()):
            if edge.part == part.name:
                continue
            yield edge.part
            if edge.to not in seen:
                seen.add(edge.to)
                ahead.append(edge.to)


def _open_at(machine: Machine, members: Iterable[Node]) -> Iterator[str]:
    """The parts that should pass the way on and have an open terminal on the far side."""
    open_terminals = machine.open_terminals
    for name, terminal in members:
        if name not in open_terminals:
            continue
        bare = open_terminals[name]
        passes = [e for e in machine.parts[name].elements if isinstance(e, Switch | Pole | Link)]
        if any(terminal in (e.a, e.b) and (e.a in bare or e.b in bare) for e in passes):
            yield name
