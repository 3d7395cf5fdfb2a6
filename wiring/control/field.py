"""The rails of a net in all cases at once, and which coils and loads they feed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wiring.control.inject import Case, inject
from wiring.control.net import Net, Pair, Source
from wiring.control.reach import Rails, spread, spread_apart
from wiring.solver.assembly import Actuator

#: Cases of an actuator that is on: for certain, and perhaps.
On = tuple[int, int]
OFF: On = (0, 0)


class Field:
    """The paths of a net as they conduct now, and the rails that follow. `faulty` brings the faults in."""

    def __init__(self, net: Net, cases: Sequence[Case]) -> None:
        self.net = net
        self.half = len(cases)
        self.all = (1 << len(cases)) - 1
        self.injected = inject(net, cases)
        self.groups = _grouped(net.sources)
        self.movers: dict[Actuator, list[int]] = {}
        for n, path in enumerate(net.paths):
            if path.moved_by is not None:
                self.movers.setdefault(path.moved_by, []).append(n)
        self.movable = {n for places in self.movers.values() for n in places}
        self.limiting = [n for n, path in enumerate(net.paths) if path.limits]
        self._wire()
        self.on: dict[Actuator, On] = {}
        self.live: list[On] = [OFF] * len(self.groups)
        self.shorted = [0] * len(self.groups)
        self.rails = [Rails() for _ in self.groups]
        self.faulty = False
        self.bridges: list[tuple[int, int, int]] = []
        self.mains = True
        #: Cases in which a contact once closed a short circuit that nothing limits: what follows is a matter of volts.
        self.collapsing = 0
        self.conducts: list[int] = []

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
        self.forward, self.back = forward, back
        self.soft_forward = [list(near) for near in forward]
        self.soft_back = [list(near) for near in back]
        for k, (a, b) in enumerate(net.soft):
            for adjacent in (self.soft_forward, self.soft_back):
                adjacent[a].append((b, first + len(net.diodes) + k))
                adjacent[b].append((a, first + len(net.diodes) + k))

    # Contacts.

    def set(self, actuator: Actuator, sure: int, perhaps: int) -> bool:
        """Put an actuator, faults of the actuator itself counted in; True when it changed."""
        if self.faulty:
            held, dead = self.injected.on.get(actuator, 0), self.injected.off.get(actuator, 0)
            sure, perhaps = (sure | held) & ~dead, (perhaps | held) & ~dead
        if self.on.get(actuator, OFF) == (sure, perhaps):
            return False
        self.on[actuator] = (sure, perhaps)
        return True

    def renew(self) -> None:
        """Every path and every rail anew."""
        paths = [self._path(n) for n in range(len(self.net.paths))]
        both = self.all | self.all << self.half
        self.conducts = paths + [both] * len(self.net.diodes) + [self.all] * len(self.net.soft)
        if self.faulty:
            self.bridges = [
                (a, b, bits | (bits << self.half if certain else 0)) for a, b, bits, certain in self.injected.bridges
            ]
        for n in range(len(self.groups)):
            self._trace(n)

    def move(self, actuators: Iterable[Actuator]) -> bool:
        """Set the contacts of actuators that moved and the rails they touch; True when a source came or went."""
        changed: dict[int, int] = {}
        for actuator in actuators:
            for n in self.movers.get(actuator, ()):
                before, now = self.conducts[n], self._path(n)
                if before != now:
                    self.conducts[n] = now
                    change = before ^ now
                    changed[n] = (change | change >> self.half) & self.all
        if changed:
            for n in range(len(self.groups)):
                if self._touched(n, changed):
                    self._trace(n)
        return self._renew_sources()

    def _path(self, n: int) -> int:
        path = self.net.paths[n]
        sure = perhaps = self.all
        if path.moved_by is not None:
            sure, perhaps = self.on.get(path.moved_by, OFF)
            if path.closed_at_rest:
                sure, perhaps = self.all & ~perhaps, self.all & ~sure
        if self.faulty:
            weld, cut = self.injected.closed.get(path.id, 0), self.injected.opened.get(path.id, 0)
            sure, perhaps = (sure | weld) & ~cut, (perhaps | weld) & ~cut
        return perhaps | sure << self.half

    def _touched(self, n: int, changed: dict[int, int]) -> bool:
        rails, paths = self.rails[n], self.net.paths
        if not rails.plus:
            return False
        for path, cases in changed.items():
            a, b = paths[path].a, paths[path].b
            if (rails.plus[a] | rails.plus[b] | rails.minus[a] | rails.minus[b]) & cases:
                return True
        return False

    # Rails.

    def _renew_sources(self) -> bool:
        changed = False
        for n, group in enumerate(self.groups):
            live = self._alive(group[0])
            if live != self.live[n]:
                had = self.live[n][1]
                self.live[n] = live
                if live[1] & ~had or not live[1]:
                    self._trace(n)
                else:
                    self.rails[n].sure, self.rails[n].perhaps = live[0] & ~self.shorted[n], live[1]
                changed = True
        return changed

    def _alive(self, source: Source) -> On:
        if source.is_mains:
            return (self.all, self.all) if self.mains else OFF
        dead = self.injected.dead.get(source.part, 0) if self.faulty else 0
        sure, perhaps = (self.all, self.all) if source.feed is None else self.fed(source.feed)
        return (sure & ~dead if source.certain else 0), perhaps & ~dead

    def _trace(self, n: int) -> None:
        """The points that a source reaches now."""
        group, half, conducts = self.groups[n], self.half, self.conducts
        sure, perhaps = self.live[n]
        of = self.rails[n] = Rails(sure=sure, perhaps=perhaps)
        if not perhaps:
            return
        starts, minus = [source.plus for source in group], [group[0].minus]
        of.plus = spread(self.forward, self.bridges, conducts, self._seeded(starts, perhaps | self.all << half), starts)
        short = of.plus[minus[0]] & self.all
        self.shorted[n] |= short
        of.sure &= ~self.shorted[n]
        if short:
            conducts = list(conducts)
            for path in self.limiting:
                conducts[path] &= ~(short << half)
        of.minus = spread(self.back, self.bridges, conducts, self._seeded(minus, self.all | self.all << half), minus)
        if short:
            self._hold_back(of, starts, minus[0], short)
        self._sneak(of.plus, of.minus, self.soft_forward)
        self._sneak(of.minus, of.plus, self.soft_back)

    def _hold_back(self, of: Rails, starts: list[int], minus: int, short: int) -> None:
        """In the cases of a short circuit the plus goes only as far as nothing ties its way to the minus.

        Where contacts take part and nothing limits it, voltages may stay or break down: there nothing is held back.
        """
        held = [(bits >> self.half) & short for bits in of.minus]
        unlimited = 0
        for start in starts:
            unlimited |= held[start]
        if unlimited & ~self.collapsing:
            self.collapsing |= unlimited & ~self._lasting(starts, minus)
        short &= ~self.collapsing
        if not short:
            return
        keep = (self.all | self.all << self.half) ^ short
        of.plus = [bits & keep for bits in of.plus]
        free = [self.all ^ bits for bits in held]
        for start in starts:
            of.plus[start] |= of.perhaps & short & free[start]
        spread_apart(self.forward, self.bridges, self.conducts, of.plus, starts, free)

    def _lasting(self, starts: list[int], minus: int) -> int:
        """The cases in which no contact takes part in a short circuit, so that it stays."""
        fixed = [0 if n in self.movable else bits for n, bits in enumerate(self.conducts)]
        reached = spread(self.forward, self.bridges, fixed, self._seeded(starts, self.all), starts)
        return reached[minus]

    def _seeded(self, starts: Iterable[int], bits: int) -> list[int]:
        reached = [0] * self.net.count
        for start in starts:
            reached[start] = bits
        return reached

    def _sneak(self, reached: list[int], other: list[int], adjacent: list[list[tuple[int, int]]]) -> None:
        """Carry a rail on through loads to points that nothing holds at the other one."""
        half, low = self.half, self.all
        free = [low ^ (bits >> half) for bits in other]
        starts = {}
        for a, b in self.net.soft:
            first, second = reached[a], reached[b]
            if (first ^ second) & low:
                if first & free[b] & (first ^ second):
                    starts[a] = None
                if second & free[a] & (first ^ second):
                    starts[b] = None
        if starts:
            spread_apart(adjacent, self.bridges, self.conducts, reached, starts, free)

    # Who is fed.

    def fed(self, pair: Pair) -> On:
        """The cases in which a pair of nodes has its voltage: surely, and perhaps."""
        sure = perhaps = 0
        a, b = pair.a, pair.b
        polar = pair.polar and pair.kind == "DC"
        near: list[tuple[int, int, int]] = []
        for n, of in enumerate(self.rails):
            if not of.plus:
                continue
            plus_a, plus_b = of.plus[a], of.plus[b]
            if not plus_a and not plus_b:
                continue
            source = self.groups[n][0]
            along, against = plus_a & of.minus[b], plus_b & of.minus[a]
            perhaps |= (along | against) & of.perhaps
            if source.kind == pair.kind and source.volts >= pair.least_v:
                sure |= (along if polar else along | against) >> self.half & of.sure
            for k, far_a, far_b in near:
                if (plus_a & far_b or plus_b & far_a) and _apart(source, self.groups[k][0]):
                    crossed = self._across(n, k, plus_a & far_b | plus_b & far_a, pair.kind)
                    sure, perhaps = sure | crossed[0], perhaps | crossed[1]
            near.append((n, plus_a, plus_b))
        return sure & perhaps, perhaps

    def _across(self, n: int, k: int, both: int, kind: str) -> On:
        """The cases in which a pair lies between the plus points of two sources: two phases, or two voltages."""
        first, second = self.rails[n], self.rails[k]
        star = self.groups[n][0].star
        phases = star >= 0 and star == self.groups[k][0].star and kind == "AC"
        sure = both >> self.half & first.sure & second.sure if phases else 0
        return sure, both & first.perhaps & second.perhaps

    def all_on(self, actuators: Iterable[Actuator]) -> On:
        """The cases in which every one of some actuators is on."""
        sure = perhaps = self.all
        for actuator in actuators:
            on = self.on.get(actuator, OFF)
            sure, perhaps = sure & on[0], perhaps & on[1]
        return sure, perhaps


def _apart(first: Source, second: Source) -> bool:
    """Whether the plus points of two sources stand at different voltages."""
    return first.is_mains or second.is_mains or first.volts != second.volts


def _grouped(sources: Sequence[Source]) -> list[tuple[Source, ...]]:
    """Outputs of programs that share their return count as one source; every other source stands alone."""
    groups: dict[object, list[Source]] = {}
    for n, source in enumerate(sources):
        groups.setdefault(n if source.certain else (source.part, source.minus), []).append(source)
    return [tuple(group) for group in groups.values()]
