"""Impedance of the de-energised network, as a short circuit sees it."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from wiring.disjoint_sets import DisjointSets
from wiring.solver.checks import check
from wiring.solver.ldl import factor, pattern
from wiring.solver.network import Network, Scalar
from wiring.solver.solution import Solution, SourceMode


class DrivingPoint(Struct, frozen=True):
    """`node_ohm[n]` from node n to its reference, `pair_ohm[k]` between the ends of pair k; None where nothing that
    carries current joins them."""

    node_ohm: tuple[Scalar | None, ...]
    pair_ohm: tuple[Scalar | None, ...]


def driving_point(
    network: Network, pairs: Sequence[tuple[int, int]] = (), state: Solution | None = None
) -> DrivingPoint:
    """Impedances with every source replaced by its series resistance and every load taken off.

    Without `state` all sources and diodes count as conducting, which gives the lowest impedance. With one, only the
    sources that deliver in constant voltage and the diodes that conduct in it. Raises ValueError as `solve` does.
    """
    check(network)
    count = network.nodes
    references = dict.fromkeys(network.references)
    free = [node for node in range(count) if node not in references]
    at = dict.fromkeys(references, len(free))
    at.update(zip(free, range(len(free)), strict=True))
    conducting = [(at[a], at[b], ohm) for a, b, ohm in _conducting(network, state)]
    wanted = [(at[a], at[b]) for a, b in pairs]
    return _impedances(len(free), [at[node] for node in range(count)], conducting, wanted)


def _conducting(network: Network, state: Solution | None) -> list[tuple[int, int, Scalar]]:
    found = [(branch.a, branch.b, branch.ohm) for branch in network.branches]
    for index, source in enumerate(network.sources):
        if state is None or state.source_mode[index] is SourceMode.CONSTANT_VOLTAGE:
            found.append((source.plus, source.minus, source.ohm))
    for index, diode in enumerate(network.diodes):
        amps = None if state is None else state.diode_a[index]
        if state is None or (amps is not None and amps.real > 0.0):
            found.append((diode.a, diode.b, diode.ohm))
    return found


def _impedances(
    size: int,
    at: Sequence[int],
    conducting: Sequence[tuple[int, int, Scalar]],
    pairs: Sequence[tuple[int, int]],
) -> DrivingPoint:
    joined = DisjointSets(size + 1)
    for a, b, _ in conducting:
        joined.join(a, b)
    roots = [joined.find(index) for index in range(size + 1)]
    home = roots[size]
    inside = [pair for pair in pairs if roots[pair[0]] == roots[pair[1]]]
    shape = pattern(size, [*((a, b) for a, b, _ in conducting), *inside])
    values = shape.blank()
    for a, b, ohm in conducting:
        shape.enter(values, a, b, 1.0 / ohm)
    for root in sorted({root for root in roots if root != home}):
        shape.enter(values, root, size, 1.0)
    inverse = factor(shape, values).selected_inverse()
    inverse[shape.spare] = 0.0

    rank, places = shape.rank, shape.places

    def across(a: int, b: int) -> Scalar | None:
        if roots[a] != roots[b]:
            return None
        if a == b:
            return 0.0
        if a >= size or b >= size:
            return inverse[rank[min(a, b)]]
        first, second = rank[a], rank[b]
        mutual = inverse[places[first][second] if first < second else places[second][first]]
        return inverse[first] + inverse[second] - 2.0 * mutual

    return DrivingPoint(
        node_ohm=tuple(across(index, size) for index in at),
        pair_ohm=tuple(across(a, b) for a, b in pairs),
    )
