"""The rails of every source in every case at once: one whole number a node for all that is plus, one for all minus.

A number is made of lanes, one for each group of sources, of one bit a case. The lanes stand twice: the low half for
what a rail perhaps reaches, the high half for what it surely reaches. So one step along a path serves all of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wiring.control.net import Net, Pair, Source
from wiring.control.reach import Adjacent, Bridges, spread, spread_apart

#: Cases of something that is on: for certain, and perhaps.
On = tuple[int, int]
OFF: On = (0, 0)


class Rails:
    """The rails of a net with `count` cases; `once`: no case has more than one bridge."""

    def __init__(self, net: Net, count: int, once: bool) -> None:
        self.net, self.count, self.once = net, count, once
        self.groups = _grouped(net.sources)
        self.half = count * len(self.groups)
        self.all = (1 << count) - 1
        self.low = (1 << self.half) - 1
        self.full = self.low | self.low << self.half
        #: Multiplied by it, cases stand in every lane.
        self.every = sum(1 << n * count for n in range(len(self.groups)))
        self.lanes = [self.all << n * count for n in range(len(self.groups))]
        self.plus = [0] * net.count
        self.minus = [0] * net.count
        self.sure = self.perhaps = self.shorted = 0
        #: Cases in which a contact once closed a short circuit that nothing limits: what follows is a matter of volts.
        self.collapsing = 0
        #: Cases of such a circuit in which no contact takes part: it stays.
        self.lasting = 0
        self.limiting = [n for n, path in enumerate(net.paths) if path.limits]
        self.movable = {n for n, path in enumerate(net.paths) if path.moved_by is not None}
        self.suited: dict[tuple[str, float], int] = {}
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

    def touch(self, a: int, b: int, cases: int) -> bool:
        """Whether any rail reaches one of two nodes in one of some cases."""
        held = self.plus[a] | self.plus[b] | self.minus[a] | self.minus[b]
        return bool((held | held >> self.half) & self.low & (cases * self.every))

    # Tracing.

    def light(self, live: Sequence[On]) -> None:
        """Say which groups are alive, surely and perhaps, without tracing them anew."""
        sure = perhaps = 0
        for n, on in enumerate(live):
            sure, perhaps = sure | on[0] << n * self.count, perhaps | on[1] << n * self.count
        self.sure, self.perhaps = sure & (self.low ^ self.shorted), perhaps

    def trace(self, live: Sequence[On], conducts: list[int], bridges: Bridges) -> None:
        """The points that every source reaches now. `conducts` by path, `bridges` of faults, both in lanes."""
        self.light(live)
        lit = [n for n, on in enumerate(live) if on[1]]
        starts = list(dict.fromkeys(source.plus for n in lit for source in self.groups[n]))
        ends = list(dict.fromkeys(self.groups[n][0].minus for n in lit))
        plus = self._seeded(lit, live)
        self.plus = spread(self.forward, bridges, conducts, plus, starts, self.once)
        short = 0
        for n in lit:
            short |= self.plus[self.groups[n][0].minus] & self.lanes[n]
        self.shorted |= short
        self.sure &= self.low ^ self.shorted
        limited = conducts
        if short:
            limited, mask = list(conducts), self.full ^ short << self.half
            for path in self.limiting:
                limited[path] &= mask
        minus = [0] * self.net.count
        for n in lit:
            minus[self.groups[n][0].minus] |= self.lanes[n] | self.lanes[n] << self.half
        self.minus = spread(self.back, bridges, limited, minus, ends, self.once)
        if short:
            self._hold_back(lit, starts, short, limited, bridges)
        self._sneak(self.plus, self.minus, self.soft_forward, limited, bridges)
        self._sneak(self.minus, self.plus, self.soft_back, limited, bridges)

    def _seeded(self, lit: Iterable[int], live: Sequence[On] | None) -> list[int]:
        reached = [0] * self.net.count
        for n in lit:
            bits = self.lanes[n] if live is None else live[n][1] << n * self.count | self.lanes[n] << self.half
            for source in self.groups[n]:
                reached[source.plus] |= bits
        return reached

    def _hold_back(self, lit: list[int], starts: list[int], short: int, conducts: list[int], bridges: Bridges) -> None:
        """In the cases of a short circuit the plus goes only as far as nothing ties its way to the minus.

        Where contacts take part and nothing limits it, voltages may stay or break down: there nothing is held back.
        """
        held = [bits >> self.half & short for bits in self.minus]
        unlimited = 0
        for n in lit:
            for source in self.groups[n]:
                unlimited |= held[source.plus] & self.lanes[n]
        new = self._folded(unlimited) & ~self.collapsing
        if new & ~self.lasting:
            stays = self._folded(self._lasting(lit, starts, conducts, bridges) & unlimited)
            self.lasting |= new & stays
            self.collapsing |= new & ~stays
        short &= self.low ^ self.collapsing * self.every
        if not short:
            return
        keep = self.full ^ short
        self.plus = [bits & keep for bits in self.plus]
        free = [self.low ^ bits for bits in held]
        for n in lit:
            for source in self.groups[n]:
                self.plus[source.plus] |= self.perhaps & short & free[source.plus] & self.lanes[n]
        spread_apart(self.forward, bridges, conducts, self.plus, starts, free, self.once)

    def _lasting(self, lit: list[int], starts: list[int], conducts: list[int], bridges: Bridges) -> int:
        """The cases, in lanes, in which no contact takes part in a short circuit, so that it stays."""
        fixed = [0 if n in self.movable else bits for n, bits in enumerate(conducts)]
        reached = spread(self.forward, bridges, fixed, self._seeded(lit, None), starts, self.once)
        lasting = 0
        for n in lit:
            lasting |= reached[self.groups[n][0].minus] & self.lanes[n]
        return lasting

    def _sneak(
        self, reached: list[int], other: list[int], adjacent: Adjacent, conducts: list[int], bridges: Bridges
    ) -> None:
        """Carry a rail on through loads to points that nothing holds at the other one."""
        half, low = self.half, self.low
        free = [low ^ (bits >> half) for bits in other]
        starts: dict[int, None] = {}
        for a, b in self.net.soft:
            first, second = reached[a], reached[b]
            differ = (first ^ second) & low
            if differ:
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
        plus_a, plus_b = self.plus[a], self.plus[b]
        if not plus_a and not plus_b:
            return OFF
        along, against = plus_a & self.minus[b], plus_b & self.minus[a]
        either = along | against
        perhaps = self._folded(either & self.perhaps)
        served = (along if pair.polar and pair.kind == "DC" else either) >> self.half & self.sure
        sure = self._folded(served & self._suiting(pair))
        crossed = self._crossed(plus_a, plus_b, pair.kind)
        sure, perhaps = sure | crossed[0], perhaps | crossed[1]
        return sure & perhaps, perhaps

    def _folded(self, bits: int) -> int:
        """The cases in which any lane has its bit set."""
        found = 0
        while bits:
            found |= bits & self.all
            bits >>= self.count
        return found

    def _suiting(self, pair: Pair) -> int:
        """The lanes of groups whose kind and volts suit a pair."""
        key = pair.kind, pair.least_v
        if key not in self.suited:
            self.suited[key] = sum(
                lane
                for lane, group in zip(self.lanes, self.groups, strict=True)
                if group[0].kind == pair.kind and group[0].volts >= pair.least_v
            )
        return self.suited[key]

    def _crossed(self, plus_a: int, plus_b: int, kind: str) -> On:
        """The cases in which a pair lies between the plus points of two sources: two phases, or two voltages."""
        sure = perhaps = 0
        near: list[tuple[Source, On, On]] = []
        for n, group in enumerate(self.groups):
            first, second = self._lane(plus_a, n), self._lane(plus_b, n)
            if not first[1] and not second[1]:
                continue
            source = group[0]
            for other, far_first, far_second in near:
                if _apart(source, other):
                    perhaps |= first[1] & far_second[1] | second[1] & far_first[1]
                    if source.star >= 0 and source.star == other.star and kind == "AC":
                        sure |= first[0] & far_second[0] | second[0] & far_first[0]
            near.append((source, first, second))
        return sure, perhaps

    def _lane(self, bits: int, n: int) -> On:
        """What one lane of a plus rail says, of a source that is alive."""
        at = n * self.count
        perhaps = (bits & self.perhaps) >> at & self.all
        return ((bits >> self.half & self.sure) >> at & self.all, perhaps) if perhaps else OFF


def _apart(first: Source, second: Source) -> bool:
    """Whether the plus points of two sources stand at different voltages."""
    return first.is_mains or second.is_mains or first.volts != second.volts


def _grouped(sources: Sequence[Source]) -> list[tuple[Source, ...]]:
    """Outputs of programs that share their return count as one source; every other source stands alone."""
    groups: dict[object, list[Source]] = {}
    for n, source in enumerate(sources):
        groups.setdefault(n if source.certain else (source.part, source.minus), []).append(source)
    return [tuple(group) for group in groups.values()]
