"""Conductors measured end to end with as few readings as cover them all: from leaf to leaf of what hangs together."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping

from wiring.circuit.model import Node
from wiring.powerup.builder import Builder
from wiring.solver.lowering import is_closed

#: A way of metal: the conductors and closed contacts on it, by id.
Way = tuple[Node, Node, tuple[str, ...]]
#: A path above this, such as a small fuse, hides a loose joint behind its own tolerance: no way goes through it [ohm].
_MOST_PATH_OHM = 1.0


def ways_over(to: Builder, wanted: Iterable[str]) -> list[Way]:
    """Ways from leaf to leaf that together pass every wanted conductor that no second way goes around."""
    left, trees = set(wanted), _trees(to)
    found: list[Way] = []
    for tree in trees:
        while best := _longest(tree, left, {end[0] for way in found for end in way[:2]}):
            found.append(best)
            left -= set(best[2])
    return found


Tree = Mapping[Node, tuple[tuple[Node, str], ...]]


def _trees(to: Builder) -> list[Tree]:
    """What hangs together by conductors and contacts closed at rest, as trees: with one edge less for every loop."""
    circuit = to.design.circuit
    onward: dict[Node, list[tuple[Node, str]]] = {}
    for edge in to.survey.cold_with_bridges.edges:
        source = edge.source
        is_metal = edge.ohm <= _MOST_PATH_OHM and getattr(source, "kind", "") != "shield"
        if is_metal and is_closed(edge, frozenset(), frozenset()):
            onward.setdefault(source.a, []).append((source.b, edge.id))
            onward.setdefault(source.b, []).append((source.a, edge.id))
    seen: set[Node] = set()
    trees: list[Tree] = []
    for start in circuit.nodes:
        if start in seen or start not in onward:
            continue
        seen.add(start)
        queue = deque([start])
        tree: dict[Node, list[tuple[Node, str]]] = {start: []}
        while queue:
            node = queue.popleft()
            for far, name in sorted(onward[node]):
                if far not in seen:
                    seen.add(far)
                    tree[node].append((far, name))
                    tree[far] = [(node, name)]
                    queue.append(far)
        trees.append({node: tuple(edges) for node, edges in tree.items()})
    return trees


def _longest(tree: Tree, left: set[str], stood: set[str]) -> Way | None:
    """The way through a tree that passes most of what is left, of several one between parts at which a probe `stood`;
    None when nothing is left."""
    bearing = [node for node, edges in tree.items() if any(name in left for _, name in edges)]
    leaves = [node for node in bearing if len(tree[node]) == 1] or bearing
    found = [(start, *_farthest(tree, start, left, stood)) for start in leaves[:_MOST_STARTS]]
    best = max(found, key=lambda way: (len(left & set(way[2])), sum(end[0] in stood for end in way[:2])), default=None)
    return best if best and left & set(best[2]) else None


_MOST_STARTS = 40


def _farthest(tree: Tree, start: Node, left: set[str], stood: set[str]) -> tuple[Node, tuple[str, ...]]:
    best: tuple[Node, tuple[str, ...]] = (start, ())
    most = (0, False)
    stack: list[tuple[Node, Node | None, tuple[str, ...], int]] = [(start, None, (), 0)]
    while stack:
        node, came, passed, count = stack.pop()
        if (count, node[0] in stood) > most and count:
            best, most = (node, passed), (count, node[0] in stood)
        stack += [(far, node, (*passed, name), count + (name in left)) for far, name in tree[node] if far != came]
    return best
