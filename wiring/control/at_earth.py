"""What hangs on earth alone stands at earth, wherever a fault lifts that to: no current flows where nothing comes back.

A rail that a fault puts to earth reaches the return of every earthed circuit, and through each coil its other end,
where an open contact holds nothing. Taken for itself such a coil lies between what may be a plus and may be a minus.
"""

from __future__ import annotations

from collections.abc import Sequence

from wiring.control.bits import On
from wiring.control.fault_record import EARTH
from wiring.control.net import Net
from wiring.control.reach import Bridges, spread
from wiring.control.traced_rails import TracedRails


class AtEarth:
    """The points of a net in `cases` (a set of bits) to which anything but earth leads, found when they are asked."""

    def __init__(self, net: Net, cases: int) -> None:
        self.net, self.cases = net, cases
        self.near: list[list[tuple[int, int]]] = [[] for _ in range(net.count)]
        self.tied: list[list[tuple[int, int]]] = [[] for _ in range(net.count)]
        for n, (a, b) in enumerate([*((path.a, path.b) for path in net.paths), *net.diodes, *net.soft]):
            tied = n < len(net.paths) and net.paths[n].id in net.earthed[1]
            for adjacent in (self.near, self.tied) if tied else (self.near,):
                adjacent[a].append((b, n))
                adjacent[b].append((a, n))
        self.clock = -1
        self.lifted = 0
        self.found: list[int] = []

    def lifted_in(self, rails: TracedRails) -> int:
        """The cases in which a plus perhaps reaches what is earthed."""
        if self.clock != rails.clock:
            self.clock, self.lifted = rails.clock, 0
            for block in rails.blocks:
                for node in self.net.earthed[0]:
                    self.lifted |= rails.folded(block.plus[node] & block.perhaps)
        return self.lifted

    def forget(self) -> None:
        """A contact moved, or a source came or went."""
        self.found = []

    def apart(self, rails: TracedRails, live: Sequence[On], conducts: Sequence[int], bridges: Bridges) -> list[int]:
        """For every point the cases in which a source that is perhaps alive reaches it over contacts and loads, but
        not through earth."""
        if not self.found:
            earth = [self.net.place[EARTH][0]]
            surely = [bits >> rails.half & self.cases for bits in conducts[: len(self.net.paths)]]
            here = [self.cases if node in earth else 0 for node in range(self.net.count)]
            spread(self.tied, (), surely, here, earth, True, rails.weight)
            free = [self.cases & ~bits for bits in here]
            self.found = [0] * self.net.count
            for group, on in zip(rails.groups, live, strict=True):
                for source in group:
                    for node in (source.plus, source.minus):
                        self.found[node] |= on[1] & free[node]
            starts = [node for node, bits in enumerate(self.found) if bits]
            spread(self.near, bridges, conducts, self.found, starts, rails.once, rails.weight, free)
        return self.found
