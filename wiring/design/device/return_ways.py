"""Through which conductors current comes back to the return of a source, from where, and how much of it together."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise
from math import inf
from typing import NamedTuple

from wiring.circuit.model import Circuit, Edge, Inner, Node
from wiring.disjoint_sets import joined
from wiring.parts.elements import Coil, Draw, Element, Input, Link, Resistance


class Returns(NamedTuple):
    """The points from which current may come back to a source, in order, and for every edge on the ways there those
    that may come through it, as bits."""

    points: Sequence[Node]
    through: Mapping[str, int]


def returns_through(circuit: Circuit, start: Node, carries: Callable[[Edge], bool]) -> Returns:
    """What may come back through the edges on the ways out from a source's return.

    The edges of a ring share all that lies beyond it: what comes back divides among them, and where one breaks another
    carries it alone. Conductors in parallel are the least of rings. A bridge in a row of terminals loses nothing, so
    that what it carries never divides.
    """
    came = circuit.walk([start], lambda edge, _: carries(edge))
    over = {step[1].id: node for node, step in came.items() if step is not None}
    points = sorted(came)
    beyond = {node: 1 << n for n, node in enumerate(points)}
    for node in reversed(came):
        step = came[node]
        if step is not None:
            beyond[step[0]] |= beyond[node]
    edges = {edge.id: edge for node in came for edge in circuit.edges_at[node] if carries(edge)}
    place = {node: n for n, node in enumerate(came)}
    closing = [edge for name, edge in edges.items() if name not in over]
    rings = (one for edge in closing for one in pairwise(_round(came, place, edge)))
    ring = joined(edges, rings)
    shared: dict[str, int] = {}
    for name, node in over.items():
        shared[ring[name]] = shared.get(ring[name], 0) | beyond[node]
    return Returns(points, {name: shared.get(ring[name], 0) for name in edges})


def _round(came: Mapping[Node, tuple[Node, Edge] | None], place: Mapping[Node, int], closing: Edge) -> Iterator[str]:
    """The edges of a ring that one makes which is no part of the walk, without those that lose nothing."""
    if not _is_bridge(closing):
        yield closing.id
    one, other = closing.a, closing.b
    while one != other:
        if place[one] < place[other]:
            one, other = other, one
        step = came[one]
        assert step is not None  # only the start has none, and it has the first place
        one, edge = step
        if not _is_bridge(edge):
            yield edge.id


def _is_bridge(edge: Edge) -> bool:
    return isinstance(edge, Inner) and isinstance(edge.element, Link) and edge.element.ohm == 0.0


class Load(NamedTuple):
    """A load between two nodes; `ohm` of one that takes no more than its impedance lets pass, `amps` or `watts` of the
    electronics of a control part, which take no more while they are sound; 0 of any other."""

    number: int
    a: Node
    b: Node
    ohm: float
    amps: float = 0.0
    watts: float = 0.0

    def taken_a(self, volts: float) -> float:
        """The most that it takes without a fault [A]; infinite where it may be overloaded."""
        if self.ohm:
            return volts / self.ohm
        return self.amps or (self.watts / volts if volts else 0.0) or inf


def _loads(circuit: Circuit) -> Iterator[Load]:
    for number, (part, element) in enumerate(circuit.elements(Draw, Input, Coil, Resistance)):
        assert isinstance(element, Draw | Input | Coil | Resistance)
        ohm = element.ohm * element.power_factor if isinstance(element, Coil) else 0.0
        ohm = element.ohm if isinstance(element, Resistance) and not element.load else ohm
        amps, watts = _electronics(element) if part.data.is_control else (0.0, 0.0)
        yield Load(number, (part.name, element.a), (part.name, element.b), ohm, amps, watts)


def _electronics(element: Element) -> tuple[float, float]:
    """Current [A] or power [W] that the electronics of a control part take."""
    if isinstance(element, Draw):
        return element.amps or 0.0, element.watts or 0.0
    return 0.0, element.standby_w if isinstance(element, Input) else 0.0


def loads_at(circuit: Circuit) -> Mapping[Node, list[Load]]:
    """The loads at each node."""
    found: dict[Node, list[Load]] = {}
    for load in _loads(circuit):
        for node in (load.a, load.b):
            found.setdefault(node, []).append(load)
    return found


def one_fault(rows: Sequence[tuple[str, float, float]]) -> tuple[set[str], float]:
    """The devices (name, current, what is taken behind it) that give their whole current together, and the sum [A].

    Those in front of loads that may be overloaded all do; of the others the one at which a fault gives most.
    """
    loaded = {name: amps for name, amps, taken in rows if taken >= amps}
    others = [(amps - taken, name, taken) for name, amps, taken in rows if name not in loaded]
    total = sum(loaded.values()) + sum(taken for _, _, taken in others)
    if not others:
        return set(loaded), total
    more, name, _ = max(others)
    return {*loaded, name}, total + more
