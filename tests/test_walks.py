"""Blocks of a network against networkx, which finds them by a program of its own."""

from __future__ import annotations

from random import Random

import networkx
import pytest

from wiring.walks import blocks


@pytest.mark.parametrize("seed", range(60))
def test_the_blocks_are_those_of_networkx(seed: int) -> None:
    draw = Random(seed)
    size = draw.randint(2, 9)
    drawn = [(draw.randrange(size), draw.randrange(size)) for _ in range(draw.randint(1, 16))]
    edges = [(a, b) for a, b in drawn if a != b]
    graph: networkx.Graph[int] = networkx.Graph(edges)
    known = {frozenset(map(frozenset, one)) for one in networkx.biconnected_component_edges(graph)}
    found = list(blocks(edges))
    assert {frozenset(frozenset(edges[n]) for n in one) for one in found} == known
    assert sorted(n for one in found for n in one) == list(range(len(edges)))


def test_a_ring_of_two_is_a_block_and_so_is_an_edge_to_itself() -> None:
    assert [sorted(one) for one in blocks([("a", "b"), ("b", "a"), ("b", "b")])] == [[2], [0, 1]]
