"""Contactors that both closed join conductors that neither joins alone: those that turn a load round, and those of a
star and a delta."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Self

from msgspec import Struct

from wiring.circuit.model import Circuit, Conductor, Node
from wiring.disjoint_sets import joined
from wiring.parts.elements import Feed, Function, Link, Output, Pole, Switch
from wiring.parts.switching import Coiled

#: The two nets that a pole joins.
Way = frozenset[Node]


class Reversal(Struct, frozen=True):
    """Two coiled devices whose poles, both closed, join conductors that neither joins alone."""

    first: str
    second: str


def reversals(circuit: Circuit) -> tuple[Reversal, ...]:
    """Every pair of devices of which both closed would join two lines of a source, in the order of the parts."""
    coiled = _of_several_poles(circuit)
    if len(coiled) < 2:
        return ()
    net = _nets(circuit)
    ways = _poles(coiled, net)
    lines = _Lines.of(circuit, net)
    return tuple(
        Reversal(first, second)
        for first, second in combinations(ways, 2)
        if _crosses(ways[first], ways[second]) or lines.shorted_by(ways[first], ways[second])
    )


def parallel_pairs(circuit: Circuit) -> tuple[tuple[str, str, frozenset[Way]], ...]:
    """Every two coiled devices that lie in parallel with two poles or more, with the ways that both close."""
    coiled = _of_several_poles(circuit)
    ways = _poles(coiled, _nets(circuit)) if len(coiled) > 1 else {}
    shared = ((first, second, ways[first] & ways[second]) for first, second in combinations(ways, 2))
    return tuple(pair for pair in shared if len(pair[2]) > 1)


def partners(found: tuple[Reversal, ...]) -> Mapping[str, frozenset[str]]:
    """For each device those that must not be closed with it."""
    pairs: dict[str, set[str]] = {}
    for one in found:
        pairs.setdefault(one.first, set()).add(one.second)
        pairs.setdefault(one.second, set()).add(one.first)
    return {name: frozenset(others) for name, others in pairs.items()}


def _of_several_poles(circuit: Circuit) -> Mapping[str, list[Switch]]:
    """The make contacts of every coiled device that has several."""
    coiled = (part for part in circuit.parts.values() if isinstance(part.data, Coiled))
    made = {part.name: [switch for switch in part.of(Switch) if not switch.closed_at_rest] for part in coiled}
    return {name: switches for name, switches in made.items() if len(switches) > 1}


def _poles(coiled: Mapping[str, list[Switch]], net: Mapping[Node, Node]) -> Mapping[str, frozenset[Way]]:
    """The ways that devices with several poles close, each as the pair of nets that it joins."""
    ways = {name: _ways(name, switches, net) for name, switches in coiled.items()}
    return {name: found for name, found in ways.items() if len(found) > 1}


class _Lines(Struct, frozen=True):
    """The poles of sources by net, each with its source, while the main switch is closed; `mains` joins the nets."""

    poles: tuple[tuple[str, Node], ...]
    mains: Mapping[Node, Node]

    @classmethod
    def of(cls, circuit: Circuit, net: Mapping[Node, Node]) -> Self:
        switched = [
            (net[part.name, switch.a], net[part.name, switch.b])
            for part, switch in circuit.elements(Switch)
            if isinstance(switch, Switch) and switch.actuator == "handle"
        ]
        feeds = [
            ("mains", (part.name, feed.terminal)) for part, feed in circuit.elements(Feed) if feed.conductor != "PE"
        ]
        outputs = [
            (f"{part.name} {output.name}", (part.name, end))
            for part, output in circuit.elements(Output)
            for end in (output.plus, output.minus)
        ]
        return cls(tuple((source, net[node]) for source, node in (*feeds, *outputs)), joined(net.values(), switched))

    def shorted_by(self, first: frozenset[Way], second: frozenset[Way]) -> bool:
        """Whether two poles of one source meet when both are closed, and not when either one is."""
        return self._shorted(first | second) and not (self._shorted(first) or self._shorted(second))

    def _shorted(self, ways: frozenset[Way]) -> bool:
        pairs = [(self.mains[a], self.mains[b]) for a, b in map(sorted, ways)]
        at = [self.mains[net] for _, net in self.poles]
        piece = joined([*at, *(end for pair in pairs for end in pair)], pairs)
        met = {(source, piece[net]) for (source, _), net in zip(self.poles, at, strict=True)}
        return len(met) < len(set(self.poles))


def _nets(circuit: Circuit) -> Mapping[Node, Node]:
    """What conductors, links and protective devices join; the protective earth joins nothing."""
    pairs = [(edge.a, edge.b) for edge in circuit.edges if isinstance(edge, Conductor) and edge.kind != "shield"]
    pairs = [(a, b) for a, b in pairs if not (_is_earth(circuit, a) or _is_earth(circuit, b))]
    pairs += [
        (edge.a, edge.b)
        for edge in circuit.inner
        if isinstance(edge.element, Pole) or (isinstance(edge.element, Link) and edge.element.ohm == 0.0)
    ]
    return joined(circuit.nodes, pairs)


def _is_earth(circuit: Circuit, node: Node) -> bool:
    part = circuit.parts.get(node[0])
    terminal = part.terminals.get(node[1]) if part else None
    return terminal is not None and terminal.function is Function.PE


def _ways(name: str, switches: list[Switch], net: Mapping[Node, Node]) -> frozenset[Way]:
    """Make contacts of a part as pairs of nets."""
    pairs = (frozenset({net[name, switch.a], net[name, switch.b]}) for switch in switches)
    return frozenset(pair for pair in pairs if len(pair) == 2)


def _crosses(first: frozenset[Way], second: frozenset[Way]) -> bool:
    """Whether two poles of each lie in a ring: a to b and c to d in the one, a to d and c to b in the other."""
    return any(
        len(one | other) == 4 and {frozenset(pair) for pair in _exchanged(one, other, a)} <= second
        for one, other in combinations(sorted(first, key=sorted), 2)
        for a in one
    )


def _exchanged(one: Way, other: Way, a: Node) -> Iterator[tuple[Node, Node]]:
    """The two pairs of a ring that leads from `a` on the other way round, with either end of the other pole first."""
    (b,), (c, d) = one - {a}, sorted(other)
    yield a, d
    yield c, b
