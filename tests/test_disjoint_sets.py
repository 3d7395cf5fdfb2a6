"""Sets that grow together, against the connected components of networkx."""

from __future__ import annotations

import networkx
from hypothesis import given
from hypothesis import strategies as st

from wiring.disjoint_sets import DisjointSets, joined

WORDS = st.lists(st.text("abc", min_size=1, max_size=2), min_size=1, max_size=12, unique=True)


@given(WORDS.flatmap(lambda words: st.tuples(st.just(words), st.lists(st.tuples(*[st.sampled_from(words)] * 2)))))
def test_what_pairs_join_are_the_connected_components(case: tuple[list[str], list[tuple[str, str]]]) -> None:
    words, pairs = case
    graph: networkx.Graph[str] = networkx.Graph()
    graph.add_nodes_from(words)
    graph.add_edges_from(pairs)
    first = joined(words, pairs)
    for component in networkx.connected_components(graph):
        assert {first[word] for word in component} == {min(component, key=words.index)}


def test_a_copy_grows_apart() -> None:
    sets = DisjointSets(3)
    sets.join(2, 1)
    twin = sets.copy()
    twin.join(0, 2)
    assert [sets.find(n) for n in range(3)] == [0, 1, 1]
    assert [twin.find(n) for n in range(3)] == [0, 0, 0]
