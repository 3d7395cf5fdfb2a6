"""Through which conductors current comes back to the return of a source, and from where."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from wiring.circuit.model import Circuit, Edge, Node
from wiring.disjoint_sets import joined


def returns_through(circuit: Circuit, start: Node, carries: Callable[[Edge], bool]) -> Mapping[str, frozenset[Node]]:
    """For every edge on the ways out from a source's return, the points from which current may come back through it.

    The edges of a ring share all that lies beyond it: what comes back divides among them, and where one breaks another
    carries it alone. Conductors in parallel are the least of rings.
    """
    came = circuit.walk([start], lambda edge, _: carries(edge))
    over = {step[1].id: node for node, step in came.items() if step is not None}
    beyond = {node: {node} for node in came}
    for node in reversed(came):
        step = came[node]
        if step is not None:
            beyond[step[0]] |= beyond[node]
    edges = {edge.id: edge for node in came for edge in circuit.edges_at[node] if carries(edge)}
    place = {node: n for n, node in enumerate(came)}
    closing = [edge for name, edge in edges.items() if name not in over]
    ring = joined(edges, ((edge.id, passed) for edge in closing for passed in _round(came, place, edge)))
    shared: dict[str, set[Node]] = {}
    for name, node in over.items():
        shared.setdefault(ring[name], set()).update(beyond[node])
    return {name: frozenset(shared.get(ring[name], ())) for name in edges}


def _round(came: Mapping[Node, tuple[Node, Edge] | None], place: Mapping[Node, int], closing: Edge) -> Iterator[str]:
    """The edges of a walk that form a ring with one that is no part of it."""
    one, other = closing.a, closing.b
    while one != other:
        if place[one] < place[other]:
            one, other = other, one
        step = came[one]
        assert step is not None  # only the start has none, and it has the first place
        one, edge = step
        yield edge.id
