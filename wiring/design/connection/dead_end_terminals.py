"""Terminals whose conductors lead to rows of terminals and plugs alone, and so to nothing."""

from __future__ import annotations

from wiring.circuit.model import Circuit, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.nets import Nets
from wiring.parts.elements import Feed
from wiring.parts.passive import Connector, Terminals

_SPARE = "spare"


def dead_end_terminals(circuit: Circuit, nets: Nets) -> frozenset[Node]:
    """The wired terminals from which metal reaches no other part but terminals and plugs, and no earth.

    A conductor whose title or label says `spare` leads where it should.
    """
    found: set[Node] = set()
    members: dict[Node, list[Node]] = {}
    for node in nets.joined:
        members.setdefault(nets.bare[node], []).append(node)
    for nodes in members.values():
        ends = [node for node in nodes if not _passes_on(circuit, node)]
        if len(ends) == 1 and not any(_is_fed_or_spare(circuit, node) for node in nodes):
            found.update(ends)
    return frozenset(found)


def _passes_on(circuit: Circuit, node: Node) -> bool:
    part = circuit.parts.get(node[0])
    return part is None or isinstance(part.data, Terminals | Connector)


def _is_fed_or_spare(circuit: Circuit, node: Node) -> bool:
    part = circuit.parts.get(node[0])
    if part is not None and any(isinstance(e, Feed) and e.terminal == node[1] for e in part.of(Feed)):
        return True
    conductors = circuit.conductors_at(node)
    bonded = any(is_earth_point(circuit, end) for c in conductors if c.kind != "shield" for end in c.ends)
    return bonded or any(_SPARE in f"{c.id} {c.title}".lower() for c in conductors)
