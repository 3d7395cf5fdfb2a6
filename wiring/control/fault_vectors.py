"""The rails of every source in every case at once: one whole number a node for all that is plus, one for all minus.

A number is made of lanes, one for each group of sources, of one bit a case. The lanes stand twice: the low half for
what a rail perhaps reaches, the high half for what it surely reaches. So one step along a path serves all of it. Many
cases and many sources are cut into blocks of lanes, each with numbers of its own: most sources reach few points.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isinf

from wiring.control.net import Net, Pair, Source
from wiring.control.reach import Adjacent, Bridges, spread, spread_apart
from wiring.control.source_blocks import Block, grouped
from wiring.solver.assembly import Actuator

#: Cases of something that is on: for certain, and perhaps.
On = tuple[int, int]
OFF: On = (0, 0)
#: Bits of one half of a number, about: enough to make steps worth their while, few enough for the cache.
_BITS = 8_000
#: By potential: the star of a phase, and the cases in which it reaches the first and the second node of a pair. Sources
#: of one voltage stand at one potential, those whose voltage follows their input each at its own.
Near = dict[tuple[str, float], tuple[int, On, On]]
#: Groups of sources that are alive, each with its lane.
Lit = Sequence[tuple[int, tuple[Source, ...]]]


class NetValues:
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
        #: Multiplied by it, cases stand in every lane.
        self.every = sum(1 << n * count for n in range(size))
        self.lanes = [self.all << n * count for n in range(size)]
        self.blocks = [
            Block(n, tuple(self.groups[n : n + size]), [0] * net.count, [0] * net.count)
            for n in range(0, len(self.groups), size)
        ]
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
        self.soft_forward = [list(near) for near in forward]
        self.soft_back = [list(near) for near in back]
        for k, (a, b) in enumerate(net.soft):
            for adjacent in (self.soft_forward, self.soft_back):
                adjacent[a].append((b, first + len(net.diodes) + k))
                adjacent[b].append((a, first + len(net.diodes) + k))

    def wide(self, sure: int, perhaps: int) -> int:
        """Cases as they stand in a number: in every lane, in both halves."""
        return perhaps * self.every | (sure * self.every) << self.half

    def touched(self, a: int, b: int, cases: int) -> list[Block]:
        """The blocks with a rail that reaches one of two nodes in one of some cases."""
        wanted = cases * self.every
        found = []
        for block in self.blocks:
            held = block.plus[a] | block.plus[b] | block.minus[a] | block.minus[b]
            if held and (held | held >> self.half) & self.low & wanted:
                found.append(block)
        return found

    # Tracing.

    def light(self, block: Block, live: Sequence[On]) -> None:
        """Say which groups of a block are alive, surely and perhaps, without tracing them anew; `live` by group."""
        sure = perhaps = 0
        for n, _ in enumerate(block.groups):
            on = live[block.first + n]
            sure, perhaps = sure | on[0] << n * self.count, perhaps | on[1] << n * self.count
        block.sure, block.perhaps = sure & (self.low ^ block.shorted), perhaps

    def trace(self, block: Block, live: Sequence[On], conducts: list[int], bridges: Bridges) -> None:
        """The points that the sources of a block reach now. `conducts` by path, `bridges` of faults, both in lanes."""
        self.light(block, live)
        lit = [
            (lane, group)
            for lane, group, on in zip(self.lanes, block.groups, live[block.first :], strict=False)
            if on[1]
        ]
        starts = list(dict.fromkeys(source.plus for _, group in lit for source in group))
        ends = list(dict.fromkeys(group[0].minus for _, group in lit))
        plus = self._seeded(lit, block.perhaps)
        block.plus = spread(self.forward, bridges, conducts, plus, starts, self.once)
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
        block.minus = spread(self.back, bridges, limited, minus, ends, self.once)
        if short:
            self._hold_back(block, lit, starts, short, limited, bridges)
        self._sneak(block.plus, block.minus, self.soft_forward, limited, bridges)
        self._sneak(block.minus, block.plus, self.soft_back, limited, bridges)

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
        held = [bits >> self.half & short for bits in block.minus]
        unlimited = 0
        for lane, group in lit:
            for source in group:
                unlimited |= held[source.plus] & lane
        new = self._folded(unlimited) & ~self.collapsing
        if new & ~self.lasting:
            stays = self._folded(self._lasting(lit, starts, conducts, bridges) & unlimited)
            self.lasting |= new & stays
            self.collapsing |= new & ~stays
        short &= self.low ^ self.collapsing * self.every
        if not short:
            return
        keep = self.full ^ short
        block.plus = [bits & keep for bits in block.plus]
        free = [self.low ^ bits for bits in held]
        for lane, group in lit:
            for source in group:
                block.plus[source.plus] |= block.perhaps & short & free[source.plus] & lane
        spread_apart(self.forward, bridges, conducts, block.plus, starts, free, self.once)

    def _lasting(self, lit: Lit, starts: list[int], conducts: list[int], bridges: Bridges) -> int:
        """The cases, in lanes, in which no contact takes part in a short circuit, so that it stays."""
        fixed = [bits & self.movable.get(n, bits) for n, bits in enumerate(conducts)]
        reached = spread(self.forward, bridges, fixed, self._seeded(lit, self.low), starts, self.once)
        lasting = 0
        for lane, group in lit:
            lasting |= reached[group[0].minus] & lane
        return lasting

    def _sneak(
        self, reached: list[int], other: list[int], adjacent: Adjacent, conducts: list[int], bridges: Bridges
    ) -> None:
        """Carry a rail on through loads to points that nothing holds at the other one."""
        half, low = self.half, self.low
        free = [low ^ (bits >> half) if bits else low for bits in other]
        starts: dict[int, None] = {}
        for a, b in self.net.soft:
            first, second = reached[a], reached[b]
            if first != second:
                differ = (first ^ second) & low
                if first & differ & free[b]:
                    starts[a] = None
                if second & differ & free[a]:
                    starts[b] = None
        if starts:
            spread_apart(adjacent, bridges, conducts, reached, starts, free, self.once)

    # Who is fed.

    def fed(self, pair: Pair) -> On:
        """The cases in which a pair of nodes has its voltage: surely, and perhaps."""
        a, b = pair.a, pair.b
        sure = perhaps = 0
        near: Near = {}
        for block in self.blocks:
            plus_a, plus_b = block.plus[a], block.plus[b]
            if not plus_a and not plus_b:
                continue
            along, against = plus_a & block.minus[b], plus_b & block.minus[a]
            either = along | against
            perhaps |= self._folded(either & block.perhaps)
            served = (along if pair.polar and pair.kind == "DC" else either) >> self.half & block.sure
            sure |= self._folded(served & self._suiting(block, pair))
            crossed = self._crossed(block, plus_a, plus_b, pair.kind, near)
            sure, perhaps = sure | crossed[0], perhaps | crossed[1]
        return sure & perhaps, perhaps

    def _folded(self, bits: int) -> int:
        """The cases in which any lane has its bit set."""
        found = 0
        for lane in self._lanes_in(bits):
            found |= bits >> lane * self.count & self.all
        return found

    def _lanes_in(self, bits: int) -> list[int]:
        """The lanes in which any bit of a half is set; most have none."""
        found, at = [], 0
        while bits:
            skipped = ((bits & -bits).bit_length() - 1) // self.count
            at += skipped
            found.append(at)
            bits >>= (skipped + 1) * self.count
            at += 1
        return found

    def _suiting(self, block: Block, pair: Pair) -> int:
        """The lanes of groups whose kind and volts suit a pair."""
        key = pair.kind, pair.least_v
        if key not in block.suited:
            block.suited[key] = sum(
                lane
                for lane, group in zip(self.lanes, block.groups, strict=False)
                if group[0].kind == pair.kind and group[0].volts >= pair.least_v
            )
        return block.suited[key]

    def _crossed(self, block: Block, plus_a: int, plus_b: int, kind: str, near: Near) -> On:
        """The cases in which a pair lies between the plus points of two sources: two phases, or two voltages. `near`
        holds what was met before by potential, and the block's own afterwards."""
        sure = perhaps = 0
        lanes = self._lanes_in((plus_a | plus_b) & block.perhaps)
        if len(lanes) < 2 and len(self.blocks) == 1:
            return OFF  # one potential alone is crossed by none
        for n in lanes:
            first, second = self._lane(block, plus_a, n), self._lane(block, plus_b, n)
            source = block.groups[n][0]
            alone = source.is_mains or isinf(source.volts)
            potential = ("own", float(block.first + n)) if alone else ("volts", source.volts)
            for other, (star, far_first, far_second) in near.items():
                if other != potential:
                    perhaps |= first[1] & far_second[1] | second[1] & far_first[1]
                    if source.star >= 0 and source.star == star and kind == "AC":
                        sure |= first[0] & far_second[0] | second[0] & far_first[0]
            _, was_first, was_second = near.get(potential, (0, OFF, OFF))
            near[potential] = source.star, _either(was_first, first), _either(was_second, second)
        return sure, perhaps

    def _lane(self, block: Block, bits: int, n: int) -> On:
        """What one lane of a plus rail says, of a source that is alive."""
        at = n * self.count
        perhaps = (bits & block.perhaps) >> at & self.all
        return ((bits >> self.half & block.sure) >> at & self.all, perhaps) if perhaps else OFF


def _either(one: On, other: On) -> On:
    return one[0] | other[0], one[1] | other[1]
