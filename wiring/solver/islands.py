"""Which nodes are galvanically joined: by reachability over the elements, never by numeric rank."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from wiring.disjoint_sets import DisjointSets
from wiring.solver.network import Network


class Island(Struct, frozen=True):
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
    joined = DisjointSets(network.nodes)
    for pairs in ends.values():
        for a, b in pairs:
            joined.join(a, b)
    roots = [joined.find(node) for node in range(network.nodes)]
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
