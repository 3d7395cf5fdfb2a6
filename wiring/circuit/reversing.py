"""Contactors that feed one thing from the same conductors in another order, so that both closed join the conductors."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

from msgspec import Struct

from wiring.circuit.model import Circuit, Conductor, Node
from wiring.disjoint_sets import joined
from wiring.parts.elements import Function, Link, Pole, Switch
from wiring.parts.switching import Coiled

#: The two nets that a pole joins.
Way = frozenset[Node]


class Reversal(Struct, frozen=True):
    """Two coiled devices whose poles, both closed, join conductors that neither joins alone."""

    first: str
    second: str


def reversals(circuit: Circuit) -> tuple[Reversal, ...]:
    """Every pair of devices of which both closed would join two lines of a source, in the order of the parts."""
    ways = _poles(circuit)
    pairs = combinations(ways, 2)
    return tuple(Reversal(first, second) for first, second in pairs if _crosses(ways[first], ways[second]))


def parallel_pairs(circuit: Circuit) -> tuple[tuple[str, str, frozenset[Way]], ...]:
    """Every two coiled devices that lie in parallel with two poles or more, with the ways that both close."""
    ways = _poles(circuit)
    shared = ((first, second, ways[first] & ways[second]) for first, second in combinations(ways, 2))
    return tuple(pair for pair in shared if len(pair[2]) > 1)


def partners(found: tuple[Reversal, ...]) -> Mapping[str, frozenset[str]]:
    """For each device those that must not be closed with it."""
    pairs: dict[str, set[str]] = {}
    for one in found:
        pairs.setdefault(one.first, set()).add(one.second)
        pairs.setdefault(one.second, set()).add(one.first)
    return {name: frozenset(others) for name, others in pairs.items()}


def _poles(circuit: Circuit) -> Mapping[str, frozenset[Way]]:
    """The ways that coiled devices with several poles close, each as the pair of nets that it joins."""
    net = _nets(circuit)
    coiled = [part for part in circuit.parts.values() if isinstance(part.data, Coiled)]
    ways = {part.name: _ways(part.name, part.of(Switch), net) for part in coiled}
    return {name: found for name, found in ways.items() if len(found) > 1}


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
    """The make contacts of a part as pairs of nets."""
    pairs = (frozenset({net[name, switch.a], net[name, switch.b]}) for switch in switches if not switch.closed_at_rest)
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
