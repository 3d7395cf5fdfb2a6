"""Nets: what is joined by metal alone, the sources that stand on each net, and the ways from net to net.

Two nets are kept apart by a contact, a resistance or a load. Bonds to the protective earth and shields join no nets,
so that a rail stays a rail whether or not it is earthed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Circuit, Conductor, Inner, Node
from wiring.circuit.reversing import partners, reversals
from wiring.circuit.roles import Roles, is_earth_point
from wiring.design.supply.rest_volts import rest_volts
from wiring.disjoint_sets import joined
from wiring.effort import walk_on
from wiring.parts.elements import Feed, Link, Output, Pole, Rectifying, Resistance, Switch
from wiring.parts.incoming import Filter
from wiring.parts.passive import Diode, Resistor
from wiring.parts.signals import Sensor
from wiring.walks import blocks, way_to

#: A net, named by one of its nodes.
Net = Node


class SourcePole(Struct, frozen=True):
    """One pole of a source: `sign` is + or - for DC, ~ for both ends of an AC winding, else the mains conductor.

    `ground` is the net of its other pole. `main` is False for a signal output. Volts are those of the source at rest.
    """

    node: Node
    source: str
    sign: str
    volts: float
    kind: str
    ground: Net
    main: bool


class NetEdge(Struct, frozen=True):
    """A way between two nets: a contact, a series resistance or a diode of `part`; `drop_v` is lost in it."""

    to: Net
    part: str
    ohm: float
    drop_v: float
    element: Switch | Resistance | Link | Rectifying


class Reached(Struct, frozen=True):
    """A source pole that a point reaches, the resistance in between, what is lost, and the parts passed."""

    pole: SourcePole
    ohm: float
    drop_v: float
    parts: tuple[str, ...]


class Reach(Struct, frozen=True):
    """What a point reaches through contacts and series resistances: sources, and the resistance to every net."""

    sources: tuple[Reached, ...]
    ohm_to: Mapping[Net, float]


class Nets(Struct, frozen=True, dict=True):
    """The nets of a circuit. `of` counts fuses and breakers as closed; `bare` ends at them."""

    circuit: Circuit
    roles: Roles
    of: Mapping[Node, Net]
    bare: Mapping[Node, Net]

    @cached_property
    def members(self) -> Mapping[Net, tuple[Node, ...]]:
        """The nodes of every net."""
        found: dict[Net, list[Node]] = {}
        for node in self.circuit.nodes:
            found.setdefault(self.of[node], []).append(node)
        return {net: tuple(nodes) for net, nodes in found.items()}

    @cached_property
    def joined(self) -> frozenset[Node]:
        """The nodes that conductors, or links inside their part, join to another part."""
        parts: dict[Net, set[str]] = {}
        for node in self.circuit.nodes:
            parts.setdefault(self.bare[node], set()).add(node[0])
        ends = {end for conductor in self.circuit.conductors for end in conductor.ends}
        return frozenset(node for node in self.circuit.nodes if len(parts[self.bare[node]]) > 1 or node in ends)

    @cached_property
    def poles(self) -> tuple[SourcePole, ...]:
        """The poles of every source, in the order of their parts."""
        return tuple(_poles(self.circuit, self.roles, self.of))

    def volts_of(self, source: str) -> float:
        """Voltage of a source at rest [V]; 0 for one that is not fed or is no source."""
        return max((pole.volts for pole in self.poles if pole.source == source), default=0.0)

    @cached_property
    def poles_at(self) -> Mapping[Net, tuple[SourcePole, ...]]:
        """The source poles on every net that has some."""
        found: dict[Net, list[SourcePole]] = {}
        for pole in self.poles:
            found.setdefault(self.of[pole.node], []).append(pole)
        return {net: tuple(poles) for net, poles in found.items()}

    @cached_property
    def bonds_at(self) -> Mapping[Net, tuple[Conductor, ...]]:
        """The conductors that tie every net to the protective earth."""
        found: dict[Net, list[Conductor]] = {}
        for bond in self.roles.bonds:
            found.setdefault(self.of[far_from_earth(self.circuit, bond)], []).append(bond)
        return {net: tuple(bonds) for net, bonds in found.items()}

    @cached_property
    def edges_at(self) -> Mapping[Net, tuple[NetEdge, ...]]:
        """The ways that lead from every net."""
        found: dict[Net, list[NetEdge]] = {}
        for part in self.circuit.parts.values():
            for element in part.elements:
                if not isinstance(element, Switch | Link | Resistance | Rectifying):
                    continue
                if isinstance(element, Resistance) and not isinstance(part.data, Resistor):
                    continue
                if isinstance(element, Rectifying) and not isinstance(part.data, Diode):
                    continue
                a, b = self.of[part.name, element.a], self.of[part.name, element.b]
                lost = part.data.drop or 0.0 if isinstance(part.data, Sensor | Diode) else 0.0
                ohm = 0.0 if lost else element.ohm
                if a != b:
                    found.setdefault(a, []).append(NetEdge(b, part.name, ohm, lost, element))
                    found.setdefault(b, []).append(NetEdge(a, part.name, ohm, lost, element))
        return {net: tuple(edges_at) for net, edges_at in found.items()}

    @cached_property
    def _ways_on(self) -> Mapping[Net, tuple[NetEdge, ...]]:
        """The ways that lead on from every net; none from one at a source."""
        return {net: edges for net, edges in self.edges_at.items() if not self.is_at_source(net)}

    def is_at_source(self, net: Net) -> bool:
        """Whether a pole of a supply or of the mains stands on a net, at which a way to the feed ends."""
        return any(pole.main for pole in self.poles_at.get(net, ()))

    def spread(self, starts: Iterable[Net], passes: Callable[[NetEdge], bool] = lambda _: True) -> Iterator[Net]:
        """Some nets and all that edges join to them, each once; a net at a source is the last of its way."""
        ahead, ways = list(dict.fromkeys(starts)), self._ways_on
        seen = set(ahead)
        while ahead:
            net = ahead.pop()
            yield net
            for edge in ways.get(net, ()):
                if edge.to not in seen and passes(edge):
                    seen.add(edge.to)
                    ahead.append(edge.to)
        walk_on(len(seen))

    def ways_to_feed(self, start: Net) -> Iterator[NetEdge]:
        """The edges on ways from a net to a source, each once; none of a branch that hangs on such a way."""
        inner = [net for net in self.spread((start,)) if not self.is_at_source(net)]
        found = [(net, edge) for net in inner for edge in self.edges_at.get(net, ())]
        ends = [(net, None if self.is_at_source(edge.to) else edge.to) for net, edge in found]
        for block in blocks([*ends, (start, None)]):
            if len(ends) in block:
                yield from (found[n][1] for n in block if n < len(ends))

    @cached_property
    def _reached(self) -> dict[Net, Reach]:
        return {}

    def reach(self, node: Node) -> Reach:
        """What a node reaches; the search ends at every net that a supply stands on."""
        start = self.of[node]
        known = self._reached.get(start)
        if known is None:
            known = self._reached[start] = self._search(start)
        return known

    @cached_property
    def _apart(self) -> Mapping[str, frozenset[str]]:
        return partners(reversals(self.circuit))

    def _search(self, start: Net) -> Reach:
        sources: list[Reached] = []
        ohm_to = {start: 0.0}
        queue: deque[tuple[Net, float, float, tuple[str, ...]]] = deque([(start, 0.0, 0.0, ())])
        while queue:
            net, ohm, lost, parts = queue.popleft()
            poles = self.poles_at.get(net, ())
            sources += [Reached(pole, ohm, lost, parts) for pole in poles]
            if any(pole.main for pole in poles):
                continue
            for edge in self.edges_at.get(net, ()):
                if edge.to not in ohm_to and self._apart.get(edge.part, frozenset()).isdisjoint(parts):
                    ohm_to[edge.to] = ohm + edge.ohm
                    queue.append((edge.to, ohm + edge.ohm, lost + edge.drop_v, (*parts, edge.part)))
        return Reach(tuple(sources), ohm_to)

    def path(self, start: Node, goal: Node) -> tuple[Conductor, ...]:
        """The conductors of the shortest way through metal between two nodes of one net; () where there is none."""
        came = self.circuit.walk([start], lambda edge, _: joins(self.circuit, edge, fused=True), {goal})
        way = way_to(came, {goal})
        return tuple(edge for edge in way if isinstance(edge, Conductor))


def far_from_earth(circuit: Circuit, bond: Conductor) -> Node:
    """The end of a bond that is no protective earth point."""
    return bond.b if is_earth_point(circuit, bond.a) else bond.a


def joins(circuit: Circuit, edge: Conductor | Inner, *, fused: bool) -> bool:
    """Whether an edge joins its ends into one net."""
    if isinstance(edge, Conductor):
        return edge.kind != "shield" and is_earth_point(circuit, edge.a) == is_earth_point(circuit, edge.b)
    if isinstance(edge.element, Pole):
        return fused
    return isinstance(edge.element, Link) and (
        edge.element.ohm == 0.0 or isinstance(circuit.parts[edge.part].data, Filter)
    )


def _poles(circuit: Circuit, roles: Roles, of: Mapping[Node, Net]) -> Iterable[SourcePole]:
    for part in circuit.parts.values():
        for element in part.elements:
            if isinstance(element, Feed) and element.conductor != "PE":
                node = (part.name, element.terminal)
                mains = circuit.plan.mains
                volts = mains.voltage.volts if mains else 0.0
                yield SourcePole(node, part.name, element.conductor, volts, "AC", of[node], True)
            elif isinstance(element, Output):
                main = element.name == "output"
                source = part.name if main else f"{part.name} {element.name}"
                plus, minus = (part.name, element.plus), (part.name, element.minus)
                signs = ("~", "~") if element.kind == "AC" else ("+", "-")
                volts = rest_volts(circuit, roles, part, element)
                yield SourcePole(plus, source, signs[0], volts, element.kind, of[minus], main)
                if main or element.minus.startswith("."):
                    yield SourcePole(minus, source, signs[1], volts, element.kind, of[plus], main)


def find_nets(circuit: Circuit, roles: Roles) -> Nets:
    """The nets of a circuit."""
    fused = [(edge.a, edge.b) for edge in circuit.edges if joins(circuit, edge, fused=True)]
    bare = [(edge.a, edge.b) for edge in circuit.edges if joins(circuit, edge, fused=False)]
    return Nets(circuit, roles, joined(circuit.nodes, fused), joined(circuit.nodes, bare))
