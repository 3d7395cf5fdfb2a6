"""Conductors measured end to end with as few readings as cover them all: from leaf to leaf of what hangs together."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping

from wiring.circuit.model import Node
from wiring.powerup.builder import Builder
from wiring.powerup.step import Setting
from wiring.solver.lowering import is_closed

#: A way of metal: the conductors and closed contacts on it, by id.
Way = tuple[Node, Node, tuple[str, ...]]
#: A path above this, such as a small fuse, hides a loose joint behind its own tolerance: no way goes through it [ohm].
_MOST_PATH_OHM = 1.0


def ways_over(to: Builder, setting: Setting, wanted: Iterable[str]) -> list[Way]:
    """Ways from leaf to leaf that together pass every wanted conductor that no second way goes around."""
    left = set(wanted)
    trees = _trees(to, setting)
    found: list[Way] = []
    for tree in trees:
        while True:
            best = _longest(tree, left)
            if best is None:
                break
            found.append(best)
            left -= set(best[2])
    return found


Tree = Mapping[Node, tuple[tuple[Node, str], ...]]


def _trees(to: Builder, setting: Setting) -> list[Tree]:
    """What hangs together by conductors and closed contacts, as trees: with one edge less for every loop."""
    moved = setting.moved
    circuit = to.design.circuit
    onward: dict[Node, list[tuple[Node, str]]] = {}
    for edge in to.survey.cold_with_bridges.edges:
        source = edge.source
        is_metal = edge.ohm <= _MOST_PATH_OHM and getattr(source, "kind", "") != "shield"
        if is_metal and is_closed(edge, moved, setting.opened):
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


def _longest(tree: Tree, left: set[str]) -> Way | None:
    """The way through a tree that passes most of what is left; None when nothing is."""
    best: Way | None = None
    most = 0
    leaves = [node for node, edges in tree.items() if len(edges) == 1 and any(name in left for _, name in edges)]
    leaves = leaves or [node for node, edges in tree.items() if any(name in left for _, name in edges)]
    for start in leaves[:_MOST_STARTS]:
        end, passed = _farthest(tree, start, left)
        count = sum(name in left for name in passed)
        if count > most:
            best, most = (start, end, passed), count
    return best


_MOST_STARTS = 40


def _farthest(tree: Tree, start: Node, left: set[str]) -> tuple[Node, tuple[str, ...]]:
    best: tuple[Node, tuple[str, ...]] = (start, ())
    most = 0
    stack: list[tuple[Node, Node | None, tuple[str, ...], int]] = [(start, None, (), 0)]
    while stack:
        node, came, passed, count = stack.pop()
        if count > most:
            best, most = (node, passed), count
        stack += [(far, node, (*passed, name), count + (name in left)) for far, name in tree[node] if far != came]
    return best
