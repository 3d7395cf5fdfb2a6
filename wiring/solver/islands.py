"""Which nodes are galvanically joined: by reachability over the elements, never by numeric rank."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wiring.solver.network import Network


class Joints:
    """Union-find over `count` nodes; the least index stands for its set."""

    __slots__ = ("parent",)

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))

    def find(self, node: int) -> int:
        parent = self.parent
        root = node
        while parent[root] != root:
            root = parent[root]
        while parent[node] != root:
            parent[node], node = root, parent[node]
        return root

    def join(self, a: int, b: int) -> None:
        first, second = self.find(a), self.find(b)
        if first < second:
            self.parent[second] = first
        elif second < first:
            self.parent[first] = second

    def copy(self) -> Joints:
        twin = Joints(0)
        twin.parent = self.parent.copy()
        return twin


@dataclass(frozen=True, slots=True)
class Island:
    """Nodes joined by any element, with the indices of their elements.

    `grounds` are the nodes held at 0 V: the network's references, or the least node where there is none (`referenced`
    false).
    """

    nodes: tuple[int, ...]
    grounds: tuple[int, ...]
    referenced: bool
    branches: tuple[int, ...]
    sources: tuple[int, ...]
    powers: tuple[int, ...]
    currents: tuple[int, ...]
    diodes: tuple[int, ...]


def split(network: Network) -> tuple[Island, ...]:
    """The galvanic islands in the order of their least node."""
    ends = {
        "branches": [(item.a, item.b) for item in network.branches],
        "sources": [(item.plus, item.minus) for item in network.sources],
        "powers": [(item.a, item.b) for item in network.powers],
        "currents": [(item.a, item.b) for item in network.currents],
        "diodes": [(item.a, item.b) for item in network.diodes],
    }
    joints = Joints(network.nodes)
    for pairs in ends.values():
        for a, b in pairs:
            joints.join(a, b)
    roots = [joints.find(node) for node in range(network.nodes)]
    nodes = _grouped(roots)
    references: dict[int, list[int]] = {}
    for node in sorted(set(network.references)):
        references.setdefault(roots[node], []).append(node)
    members = {kind: _grouped([roots[a] for a, _ in pairs]) for kind, pairs in ends.items()}
    none: tuple[int, ...] = ()
    return tuple(
        Island(
            nodes=tuple(nodes[root]),
            grounds=tuple(references.get(root, (root,))),
            referenced=root in references,
            branches=tuple(members["branches"].get(root, none)),
            sources=tuple(members["sources"].get(root, none)),
            powers=tuple(members["powers"].get(root, none)),
            currents=tuple(members["currents"].get(root, none)),
            diodes=tuple(members["diodes"].get(root, none)),
        )
        for root in sorted(nodes)
    )


def _grouped(roots: Iterable[int]) -> dict[int, list[int]]:
    groups: dict[int, list[int]] = {}
    for index, root in enumerate(roots):
        groups.setdefault(root, []).append(index)
    return groups
