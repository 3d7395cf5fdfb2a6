"""A network in pieces that meet at one node each: its blocks, in the sense of graphs.

What flows into a piece through its one node flows out there again, so no current passes from piece to piece, and the
voltages inside each follow from the piece alone (R. E. Tarjan, "Depth-first search and linear graph algorithms", SIAM
Journal on Computing 1, 1972, finds them).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.solver.islands import Island
from wiring.solver.network import Branch, CurrentLoad, Diode, Network, VoltageSource


class Piece(Struct, frozen=True):
    """One piece of an island: its nodes, the one nearest to ground first, and the indices of its elements.

    `passive` is its network without sources and loads, over the places in `nodes`.
    """

    nodes: tuple[int, ...]
    at: Mapping[int, int]
    branches: tuple[int, ...]
    sources: tuple[int, ...]
    powers: tuple[int, ...]
    currents: tuple[int, ...]
    diodes: tuple[int, ...]
    passive: Network

    def network(self, whole: Network, phasors: bool) -> Network:
        """The piece as a network of its own, held at 0 V where it meets the rest, with the values of `whole`, whose
        numbers are phasors or not."""
        at = self.at
        return Network(
            self.passive.nodes,
            self.passive.references,
            self.passive.branches,
            tuple(
                VoltageSource(
                    at[s.plus], at[s.minus], complex(s.volts) if phasors else s.volts, s.ohm, s.overload, s.limit_a
                )
                for s in map(whole.sources.__getitem__, self.sources)
            ),
            tuple(replace(p, a=at[p.a], b=at[p.b]) for p in map(whole.powers.__getitem__, self.powers)),
            tuple(
                CurrentLoad(at[c.a], at[c.b], c.amps, c.power_factor)
                for c in map(whole.currents.__getitem__, self.currents)
            ),
            self.passive.diodes,
        )


def split_in_pieces(network: Network, island: Island, near: Sequence[Sequence[int]]) -> tuple[Piece, ...]:
    """The pieces of an island with one ground or none, each after the one that it hangs on; `near` are the neighbours
    of the network.

    An element with both ends at one node is in none of them: nothing flows in it.
    """
    kinds = [
        [(n, network.branches[n].a, network.branches[n].b) for n in island.branches],
        [(n, network.sources[n].plus, network.sources[n].minus) for n in island.sources],
        [(n, network.powers[n].a, network.powers[n].b) for n in island.powers],
        [(n, network.currents[n].a, network.currents[n].b) for n in island.currents],
        [(n, network.diodes[n].a, network.diodes[n].b) for n in island.diodes],
    ]
    members = _blocks(near, island.grounds[0])
    home = {node: n for n, nodes in enumerate(members) for node in nodes[1:]}
    held: list[list[list[int]]] = [[[] for _ in kinds] for _ in members]
    for kind, elements in enumerate(kinds):
        for n, a, b in elements:
            if a != b:
                # Its piece is that of its ends, or of the end that is not where the other's piece hangs.
                piece = home.get(a)
                if piece is None or (members[piece][0] != b and home.get(b) != piece):
                    piece = home[b]
                held[piece][kind].append(n)
    return tuple(_piece(network, nodes, indices) for nodes, indices in zip(members, held, strict=True))


def _piece(network: Network, nodes: tuple[int, ...], indices: Sequence[Sequence[int]]) -> Piece:
    at = {node: n for n, node in enumerate(nodes)}
    branches, sources, powers, currents, diodes = map(tuple, indices)
    passive = Network(
        len(nodes),
        (0,),
        tuple(Branch(at[x.a], at[x.b], x.ohm) for x in map(network.branches.__getitem__, branches)),
        diodes=tuple(Diode(at[x.a], at[x.b], x.drop_v, x.ohm) for x in map(network.diodes.__getitem__, diodes)),
    )
    return Piece(nodes, at, branches, sources, powers, currents, diodes, passive)


def _blocks(near: Sequence[Sequence[int]], start: int) -> list[tuple[int, ...]]:
    """The blocks of a connected graph: the node nearest to `start` first, the others sorted; each block after the one
    that holds its first node."""
    found: list[tuple[int, ...]] = []
    seen, low, place = {start: 0}, {start: 0}, {}
    waiting: list[int] = []
    way = [(start, start, iter(near[start]))]
    while way:
        node, before, ahead = way[-1]
        for far in ahead:
            if far not in seen:
                seen[far] = low[far] = len(seen)
                place[far] = len(waiting)
                waiting.append(far)
                way.append((far, node, iter(near[far])))
                break
            if far != before and seen[far] < low[node]:
                low[node] = seen[far]
        else:
            way.pop()
            if way:
                last = way[-1][0]
                low[last] = min(low[last], low[node])
                if low[node] >= seen[last]:
                    cut = place[node]
                    found.append((last, *sorted(waiting[cut:])))
                    del waiting[cut:]
    return found[::-1]
