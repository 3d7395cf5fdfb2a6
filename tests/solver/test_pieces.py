"""Networks solved in pieces against the same networks solved as one, and their pieces against networkx."""

from __future__ import annotations

import random
from itertools import pairwise

import networkx
import pytest
from msgspec.structs import replace

from wiring.solver.islands import neighbours, split
from wiring.solver.network import Branch, CurrentLoad, Diode, Network, Overload, PowerLoad, VoltageSource
from wiring.solver.pieces import split_in_pieces
from wiring.solver.piecewise import Known, solve_in_pieces
from wiring.solver.solution import Outcome
from wiring.solver.solve import Prepared, solve

SEEDS = range(60)


def _random_network(seed: int) -> Network:
    """Meshes hung on one another, with supplies that limit, loads of constant power and of constant current."""
    rng = random.Random(seed)
    nodes, branches, sources, powers, currents, diodes = 1, [], [], [], [], []
    for _ in range(rng.randint(2, 6)):
        root, new = rng.randrange(nodes), list(range(nodes, nodes + rng.randint(2, 5)))
        nodes += len(new)
        ring = [root, *new, root]
        branches += [Branch(a, b, rng.uniform(0.01, 2.0)) for a, b in pairwise(ring)]
        if rng.random() < 0.7:
            end = rng.choice(new)
            mode, limit = rng.choice([(Overload.STIFF, None), (Overload.CONSTANT_CURRENT, 2.0), (Overload.HICCUP, 6.0)])
            sources.append(VoltageSource(end, nodes, 24.0, 0.05, mode, limit))
            branches.append(Branch(nodes, root, 0.02))
            nodes += 1
        a, b = rng.sample([root, *new], 2)
        powers.append(PowerLoad(a, b, rng.uniform(0.0, 3.0), rng.choice([0.0, 5.0])))
        currents.append(CurrentLoad(*rng.sample([root, *new], 2), rng.uniform(0.0, 1.0)))
        diodes.append(Diode(*rng.sample([root, *new], 2), 0.7, 0.05))
    return Network(nodes, (0,), tuple(branches), tuple(sources), tuple(powers), tuple(currents), tuple(diodes))


@pytest.mark.parametrize("seed", SEEDS)
def test_pieces_answer_as_the_whole(seed: int) -> None:
    """Law: what two parts of a network share one node only, no current passes between them (Kirchhoff)."""
    network, known = _random_network(seed), Known()
    whole = solve(network)
    for _ in range(2):  # the second time all pieces are known
        pieces = solve_in_pieces(network, Prepared(), known)
        assert pieces.outcome in (Outcome.COLLAPSED, Outcome.UNDECIDED) or pieces.outcome is whole.outcome
        for kind in ("volts", "branch_a", "source_a", "power_a", "current_a", "diode_a"):
            told = [(one, other) for one, other in zip(getattr(whole, kind), getattr(pieces, kind), strict=True)]
            assert [one is None for one, _ in told] == [other is None for _, other in told], kind
            assert all(abs(one - other) < 1e-6 for one, other in told if one is not None), kind
        if whole.outcome not in (Outcome.COLLAPSED, Outcome.UNDECIDED):
            assert (pieces.source_mode, pieces.power_state) == (whole.source_mode, whole.power_state)
            assert (pieces.adrift, pieces.floating) == (whole.adrift, whole.floating)
            assert [one.load for one in pieces.locked_out] == [one.load for one in whole.locked_out]
            assert [one.source for one in pieces.overloaded] == [one.source for one in whole.overloaded]


@pytest.mark.parametrize("seed", SEEDS)
def test_pieces_are_the_blocks_of_the_graph(seed: int) -> None:
    """By networkx: it finds the same blocks; each piece comes after the one that holds its first node."""
    network = _random_network(seed)
    graph = networkx.Graph(
        [(x.a, x.b) for x in (*network.branches, *network.powers, *network.currents, *network.diodes)]
        + [(x.plus, x.minus) for x in network.sources]
    )
    [island] = split(network)
    pieces = split_in_pieces(network, island, neighbours(network))
    assert {frozenset(p.nodes) for p in pieces} == {frozenset(b) for b in networkx.biconnected_components(graph)}
    reached = {0}
    for piece in pieces:
        assert piece.nodes[0] in reached
        reached.update(piece.nodes)
    for kind in ("branches", "sources", "powers", "currents", "diodes"):
        assert sorted(n for piece in pieces for n in getattr(piece, kind)) == list(range(len(getattr(network, kind))))


def test_phasors_in_pieces() -> None:
    """At mains frequency: a piece without reactance of its own is solved in phasors like the rest."""
    network = Network(
        4,
        (0,),
        (Branch(1, 0, complex(20.0, 15.0)), Branch(2, 3, 10.0), Branch(1, 2, 0.1)),
        (VoltageSource(1, 0, 230.0, 0.1), VoltageSource(2, 3, 24.0, 0.1)),
    )
    whole, pieces = solve(network), solve_in_pieces(network, Prepared(), {})
    assert all(isinstance(amps, complex) for amps in pieces.branch_a)
    gaps = [abs((one or 0.0) - (other or 0.0)) for one, other in zip(whole.branch_a, pieces.branch_a, strict=True)]
    assert max(gaps) < 1e-9


def test_a_piece_is_solved_once() -> None:
    """Two networks that differ in one piece share the other."""
    shared = (Branch(1, 0, 5.0), Branch(2, 0, 4.0))
    sources = (VoltageSource(1, 0, 24.0, 0.1), VoltageSource(2, 0, 12.0, 0.1))
    first = Network(3, (0,), shared, sources)
    known: Known = {}
    solve_in_pieces(first, Prepared(), known)
    solve_in_pieces(replace(first, sources=(sources[0], replace(sources[1], volts=13.0))), Prepared(), known)
    assert len(known) == 3
