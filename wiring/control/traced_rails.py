"""The rails of every source in every case at once: one whole number a node for all that is plus, one for all minus.

A number is made of lanes, one for each group of sources, of one bit a case. The lanes stand twice: the low half for
what a rail perhaps reaches, the high half for what it surely reaches. So one step along a path serves all of it. Many
cases and many sources are cut into blocks of lanes, each with numbers of its own: most sources reach few points.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from wiring.control.bits import On
from wiring.control.net import Net, Source
from wiring.control.reach import Adjacent, Bridges, spread
from wiring.control.source_blocks import Block, grouped, potentials
from wiring.effort import spend
from wiring.solver.assembly import Actuator

#: Bits of one half of a number, about: enough to make steps worth their while, few enough for the cache.
_BITS = 16_000
#: With so many bits more in a half a step costs as much again (measured: 0.2 µs, and 0.02 for a thousand bits).
_AS_DEAR = 8_000
#: What a trace costs besides its nodes, in nodes.
_EACH = 20
#: Groups of sources that are alive, each with its lane.
Lit = Sequence[tuple[int, tuple[Source, ...]]]


class TracedRails:
    """The rails of a net with `count` cases; `once`: no case has more than one bridge. `still` are operators with the
    cases in which nobody moves them."""

    def __init__(self, net: Net, count: int, once: bool, still: Mapping[Actuator, int]) -> None:
        self.net, self.count, self.once = net, count, once
        self.groups = grouped(net.sources)
        size = max(min(_BITS // count, len(self.groups)), 1)
        self.half = count * size
        self.all = (1 << count) - 1
        self.low = (1 << self.half) - 1
        self.full = self.low | self.low << self.half
        #: What a step at one node costs: long numbers more.
        self.weight = 1 + self.half // _AS_DEAR
        self.lanes = [self.all << n * count for n in range(size)]
        self.blocks = [
            Block(n, tuple(some), [0] * net.count, [0] * net.count, potentials(n, some, self.lanes))
            for n in range(0, len(self.groups), size)
            if (some := self.groups[n : n + size])
        ]
        #: Shifts that bring every lane onto the first one, and back from it onto every other one.
        self.folds = [count << n for n in range((size - 1).bit_length())]
        #: Counts every change of a rail; when each node last saw one.
        self.clock = 0
        self.moved = [0] * net.count
        #: Cases in which a contact once closed a short circuit that nothing limits: what follows is a matter of volts.
        self.collapsing = 0
        #: Cases of such a circuit in which no contact takes part: it stays.
        self.lasting = 0
        self.phases = [group[0].plus for group in self.groups if group[0].is_mains]
        self.limiting = [n for n, path in enumerate(net.paths) if path.limits]
        #: Paths that move, with the cases, as they stand in a number, in which they do not.
        self.movable = {
            n: self.wide(still.get(path.moved_by, 0), still.get(path.moved_by, 0))
            for n, path in enumerate(net.paths)
            if path.moved_by is not None
        }
        self._wire()

    def _wire(self) -> None:
        """Neighbours of every node, by the direction of a rail: the plus goes through a diode, the minus back."""
        net = self.net
        forward: list[list[tuple[int, int]]] = [[] for _ in range(net.count)]
        for n, path in enumerate(net.paths):
            forward[path.a].append((path.b, n))
            forward[path.b].append((path.a, n))
        back = [list(near) for near in forward]
        first = len(net.paths)
        for k, (a, b) in enumerate(net.diodes):
            forward[a].append((b, first + k))
            back[b].append((a, first + k))
        self.forward: Adjacent = forward
        self.back: Adjacent = back
        #: What loads join each node with.
        self.soft_near: list[list[int]] = [[] for _ in range(net.count)]
        for a, b in net.soft:
            self.soft_near[a].append(b)
            self.soft_near[b].append(a)
        self.soft_forward = [list(near) for near in forward]
        self.soft_back = [list(near) for near in back]
        for k, (a, b) in enumerate(net.soft):
            for adjacent in (self.soft_forward, self.soft_back):
                adjacent[a].append((b, first + len(net.diodes) + k))
                adjacent[b].append((a, first + len(net.diodes) + k))

    def wide(self, sure: int, perhaps: int) -> int:
        """Cases as they stand in a number: in every lane, in both halves."""
        low = self.in_lanes(perhaps)
        return low | (low if sure == perhaps else self.in_lanes(sure)) << self.half

    def in_lanes(self, cases: int) -> int:
        """Cases in every lane of one half."""
        if not cases:
            return 0
        for step in self.folds:
            cases |= cases << step
        return cases & self.low

    def touched(self, a: int, b: int, cases: int) -> list[Block]:
        """The blocks with a rail that reaches one of two nodes in one of some cases."""
        wanted = self.in_lanes(cases)
        found = []
        for block in self.blocks:
            held = block.plus[a] | block.plus[b] | block.minus[a] | block.minus[b]
            if held and (held | held >> self.half) & self.low & wanted:
                found.append(block)
        return found

    # Tracing.

    def light(self, block: Block, live: Sequence[On]) -> None:
        """Say which groups of a block are alive, surely and perhaps, without tracing them anew; `live` by group."""
        before = block.sure, block.perhaps
        self._light(block, live)
        if (block.sure, block.perhaps) != before:
            self._note(node for node in block.plus_at if block.plus[node])

    def _light(self, block: Block, live: Sequence[On]) -> None:
        sure = perhaps = 0
        for n, _ in enumerate(block.groups):
            on = live[block.first + n]
            sure, perhaps = sure | on[0] << n * self.count, perhaps | on[1] << n * self.count
        block.sure, block.perhaps = sure & (self.low ^ block.shorted), perhaps

    def _note(self, nodes: Iterable[int]) -> None:
        """Say that rails have moved at some nodes."""
        now = self.clock + 1
        for node in nodes:
            self.moved[node] = self.clock = now

    def put_back(self, blocks: list[Block]) -> None:
        """The blocks as they stood once."""
        self.blocks = blocks
        self._note(range(self.net.count))

    def trace(self, block: Block, live: Sequence[On], conducts: list[int], bridges: Bridges) -> None:
        """The points that the sources of a block reach now. `conducts` by path, `bridges` of faults, both in lanes."""
        was, had, lit = block.plus, block.minus, (block.sure, block.perhaps)
        places = block.plus_at | block.minus_at
        self._trace(block, live, conducts, bridges)
        other = (block.sure, block.perhaps) != lit
        now, has = block.plus, block.minus
        places = places | block.plus_at | block.minus_at
        spend((_EACH + len(places)) * self.weight)
        self._note(n for n in places if was[n] != now[n] or had[n] != has[n] or (other and now[n]))

    def _trace(self, block: Block, live: Sequence[On], conducts: list[int], bridges: Bridges) -> None:
        self._light(block, live)
        lit = [
            (lane, group)
            for lane, group, on in zip(self.lanes, block.groups, live[block.first :], strict=False)
            if on[1]
        ]
        starts = list(dict.fromkeys(source.plus for _, group in lit for source in group))
        ends = list(dict.fromkeys(group[0].minus for _, group in lit))
        block.plus = self._seeded(lit, block.perhaps)
        block.plus_at = spread(self.forward, bridges, conducts, block.plus, starts, self.once, self.weight)
        short = 0
        for lane, group in lit:
            short |= block.plus[group[0].minus] & lane
        block.shorted |= short | self._phases_met(block, lit)
        block.sure &= self.low ^ block.shorted
        limited = conducts
        if short:
            limited, mask = list(conducts), self.full ^ short << self.half
            for path in self.limiting:
                limited[path] &= mask
        minus = [0] * self.net.count
        for lane, group in lit:
            minus[group[0].minus] |= lane | lane << self.half
        block.minus = minus
        block.minus_at = spread(self.back, bridges, limited, minus, ends, self.once, self.weight)
        if short:
            self._hold_back(block, lit, starts, short, limited, bridges)
        block.plus_at |= self._sneak(block, (block.plus, block.minus), self.soft_forward, limited, bridges)
        block.minus_at |= self._sneak(block, (block.minus, block.plus), self.soft_back, limited, bridges)

    def _phases_met(self, block: Block, lit: Lit) -> int:
        """The cases, in lanes, in which a phase perhaps meets another one: neither is sure to stay alive."""
        met = 0
        for lane, group in lit if self.phases else ():
            if group[0].is_mains:
                for other in self.phases:
                    if other != group[0].plus:
                        met |= block.plus[other] & lane
        return met

    def _seeded(self, lit: Lit, perhaps: int) -> list[int]:
        reached = [0] * self.net.count
        for lane, group in lit:
            for source in group:
                reached[source.plus] |= perhaps & lane | lane << self.half
        return reached

    def _hold_back(
        self, block: Block, lit: Lit, starts: list[int], short: int, conducts: list[int], bridges: Bridges
    ) -> None:
        """In the cases of a short circuit the plus goes only as far as nothing ties its way to the minus.

        Where contacts take part and nothing limits it, voltages may stay or break down: there nothing is held back.
        """
        held = [0] * self.net.count
        for node in block.minus_at:
            held[node] = block.minus[node] >> self.half & short
        unlimited = 0
        for lane, group in lit:
            for source in group:
                unlimited |= held[source.plus] & lane
        new = self.folded(unlimited) & ~self.collapsing
        if new & ~self.lasting:
            stays = self.folded(self._lasting(lit, starts, conducts, bridges) & unlimited)
            self.lasting |= new & stays
            self.collapsing |= new & ~stays
        short &= self.low ^ self.in_lanes(self.collapsing)
        if not short:
            return
        keep = self.full ^ short
        for node in block.plus_at:
            block.plus[node] &= keep
        free = [self.low] * self.net.count
        for node in block.minus_at:
            free[node] ^= held[node]
        for lane, group in lit:
            for source in group:
                block.plus[source.plus] |= block.perhaps & short & free[source.plus] & lane
        block.plus_at |= spread(self.forward, bridges, conducts, block.plus, starts, self.once, self.weight, free)

    def _lasting(self, lit: Lit, starts: list[int], conducts: list[int], bridges: Bridges) -> int:
        """The cases, in lanes, in which no contact takes part in a short circuit, so that it stays."""
        fixed = [bits & self.movable.get(n, bits) for n, bits in enumerate(conducts)]
        reached = self._seeded(lit, self.low)
        spread(self.forward, bridges, fixed, reached, starts, self.once, self.weight)
        lasting = 0
        for lane, group in lit:
            lasting |= reached[group[0].minus] & lane
        return lasting

    def _sneak(
        self,
        block: Block,
        rails: tuple[list[int], list[int]],
        adjacent: Adjacent,
        conducts: list[int],
        bridges: Bridges,
    ) -> set[int]:
        """Carry the first of two rails on through loads to points that nothing holds at the other one."""
        (reached, other), low, half = rails, self.low, self.half
        places, others = (block.plus_at, block.minus_at)[:: 1 if reached is block.plus else -1]
        starts: set[int] = set()
        open_: dict[int, int] = {}
        for node in places:
            bits = reached[node]
            carried = bits & low if self.soft_near[node] else 0
            for far in self.soft_near[node]:
                have = reached[far]
                if have == bits:
                    continue
                if far not in open_:
                    open_[far] = low ^ (other[far] >> half)
                new = carried & open_[far]
                if new and (now := have | new) != have:
                    reached[far] = now
                    starts.add(far)
        if not starts:
            return starts
        free = [low] * self.net.count
        for node in others:
            free[node] = open_[node] if node in open_ else low ^ (other[node] >> half)
        return spread(adjacent, bridges, conducts, reached, starts, self.once, self.weight, free)

    def folded(self, bits: int) -> int:
        """The cases in which any lane has its bit set."""
        if not bits:
            return 0
        for step in self.folds:
            bits |= bits >> step
        return bits & self.all
