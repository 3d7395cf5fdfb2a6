"""Random networks of the kinds a machine has, the same for the same seed."""

from __future__ import annotations

import random

from msgspec.structs import replace

from wiring.solver.network import Branch, CurrentLoad, Network, PowerLoad, VoltageSource


def two_wire(nodes: int, seed: int, share: float = 0.3, meshes: int | None = None, reach: int = 8) -> Network:
    """One supply at nodes 1 (plus) and 0 (minus, the reference) feeding constant-power loads over two wires.

    A tree of conductors runs out and one back, with a few meshes; a conductor starts at most `reach` nodes back, so 8
    makes long chains. The loads together take at most `share` of 300 W.
    """
    draw = random.Random(seed)
    half = max(2, nodes // 2)
    branches = [Branch(max(1, k - draw.randint(1, reach)), k, draw.uniform(0.002, 0.05)) for k in range(2, half)]
    for k in range(half, nodes):
        near = 0 if k < half + 3 else max(half, k - draw.randint(1, reach))
        branches.append(Branch(near, k, draw.uniform(0.002, 0.05)))
    for _ in range(nodes // 50 if meshes is None else meshes):
        a, b = draw.randint(1, half - 1), draw.randint(1, half - 1)
        if a != b:
            branches.append(Branch(a, b, draw.uniform(0.01, 0.1)))
    count = max(1, nodes // 30)
    powers = [
        PowerLoad(
            draw.randint(1, half - 1), draw.randint(half, nodes - 1), share * draw.uniform(0.2, 1.0) * 300.0 / count
        )
        for _ in range(count)
    ]
    supply = VoltageSource(1, 0, draw.choice((24.0, 48.0, 72.0)), draw.uniform(0.005, 0.05))
    return Network(nodes, (0,), tuple(branches), (supply,), tuple(powers))


def mesh(nodes: int, seed: int) -> Network:
    """A connected random graph with resistances over six decades, several sources and current loads; node 0 at 0 V."""
    draw = random.Random(seed)
    branches = [Branch(draw.randrange(k), k, 10.0 ** draw.uniform(-3.0, 3.0)) for k in range(1, nodes)]
    for _ in range(nodes // 2):
        a, b = draw.randrange(nodes), draw.randrange(nodes)
        if a != b:
            branches.append(Branch(a, b, 10.0 ** draw.uniform(-3.0, 3.0)))
    sources = []
    for _ in range(max(1, nodes // 20)):
        a = draw.randrange(1, nodes)
        sources.append(VoltageSource(a, 0, draw.uniform(5.0, 60.0), draw.uniform(0.01, 1.0)))
    return Network(nodes, (0,), tuple(branches), tuple(sources))


def shuffled(network: Network, seed: int) -> tuple[Network, list[int]]:
    """The same network with nodes renumbered and elements in another order; the new number of each node."""
    draw = random.Random(seed)
    new = list(range(network.nodes))
    draw.shuffle(new)

    def mixed(items):
        items = list(items)
        draw.shuffle(items)
        return tuple(items)

    def ends(item):
        return replace(item, a=new[item.a], b=new[item.b])

    renumbered = Network(
        nodes=network.nodes,
        references=tuple(new[node] for node in network.references),
        branches=mixed(ends(item) for item in network.branches),
        sources=mixed(replace(item, plus=new[item.plus], minus=new[item.minus]) for item in network.sources),
        powers=mixed(ends(item) for item in network.powers),
        currents=mixed(ends(item) for item in network.currents),
        diodes=mixed(ends(item) for item in network.diodes),
    )
    return renumbered, new


def with_taps(network: Network, seed: int) -> Network:
    """Constant-current loads added from random nodes of the outgoing half to the reference."""
    draw = random.Random(seed)
    taps = tuple(
        CurrentLoad(draw.randrange(1, max(2, network.nodes // 2)), 0, draw.uniform(0.001, 0.05))
        for _ in range(network.nodes // 10)
    )
    return replace(network, currents=taps)
