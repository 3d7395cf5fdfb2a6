"""Terminals whose conductors lead to rows of terminals and plugs alone, and so to nothing."""

from __future__ import annotations

from wiring.circuit.model import Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.parts.elements import Feed
from wiring.parts.passive import Connector, Terminals

_SPARE = "spare"


def dead_end_terminals(machine: Machine) -> frozenset[Node]:
    """The wired terminals from which metal reaches no other part but terminals and plugs, and no earth.

    A conductor whose title or label says `spare` leads where it should.
    """
    nets = machine.nets
    found: set[Node] = set()
    members: dict[Node, list[Node]] = {}
    for node in nets.joined:
        members.setdefault(nets.bare[node], []).append(node)
    for nodes in members.values():
        ends = [node for node in nodes if not _passes_on(machine, node)]
        if len(ends) == 1 and not any(_is_fed_or_spare(machine, node) for node in nodes):
            found.update(ends)
    return frozenset(found)


def _passes_on(machine: Machine, node: Node) -> bool:
    part = machine.parts.get(node[0])
    return part is None or isinstance(part.data, Terminals | Connector)


def _is_fed_or_spare(machine: Machine, node: Node) -> bool:
    part = machine.parts.get(node[0])
    if part is not None and any(isinstance(e, Feed) and e.terminal == node[1] for e in part.of(Feed)):
        return True
    conductors = machine.circuit.conductors_at(node)
    bonded = any(is_earth_point(machine.circuit, end) for c in conductors if c.kind != "shield" for end in c.ends)
    return bonded or any(_SPARE in f"{c.id} {c.title}".lower() for c in conductors)
