"""Which nodes are galvanically joined: by reachability over the elements, never by numeric rank."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

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


def neighbours(network: Network) -> list[list[int]]:
    """For every node the nodes at the other ends of its elements, in their order; one twice where two lead there."""
    near: list[list[int]] = [[] for _ in range(network.nodes)]
    ends = [(one.a, one.b) for one in network.branches]
    ends += [(source.plus, source.minus) for source in network.sources]
    ends += [(one.a, one.b) for some in (network.powers, network.currents, network.diodes) for one in some]
    for a, b in ends:
        near[a].append(b)
        near[b].append(a)
    return near


def split(network: Network, near: Sequence[Sequence[int]] | None = None) -> tuple[Island, ...]:
    """The galvanic islands in the order of their least node; `near` are the neighbours where they are known."""
    home, members = _spread(neighbours(network) if near is None else near)
    grounds: list[list[int]] = [[] for _ in members]
    for node in sorted(set(network.references)):
        grounds[home[node]].append(node)
    held = [
        _grouped([home[one.a] for one in elements], len(members))
        for elements in (network.branches, network.powers, network.currents, network.diodes)
    ]
    branches, powers, currents, diodes = held
    sources = _grouped([home[source.plus] for source in network.sources], len(members))
    return tuple(
        Island(
            nodes=tuple(nodes),
            grounds=tuple(grounds[n]) or (nodes[0],),
            referenced=bool(grounds[n]),
            branches=tuple(branches[n]),
            sources=tuple(sources[n]),
            powers=tuple(powers[n]),
            currents=tuple(currents[n]),
            diodes=tuple(diodes[n]),
        )
        for n, nodes in enumerate(members)
    )


def _spread(near: Sequence[Sequence[int]]) -> tuple[list[int], list[list[int]]]:
    """The island of every node, and the nodes of every island, sorted."""
    home = [-1] * len(near)
    members: list[list[int]] = []
    for start in range(len(near)):
        if home[start] < 0:
            home[start] = len(members)
            found = [start]
            for node in found:
                for far in near[node]:
                    if home[far] < 0:
                        home[far] = len(members)
                        found.append(far)
            members.append(sorted(found))
    return home, members


def _grouped(homes: Iterable[int], count: int) -> list[list[int]]:
    groups: list[list[int]] = [[] for _ in range(count)]
    for index, home in enumerate(homes):
        groups[home].append(index)
    return groups
