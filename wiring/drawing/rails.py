"""Distribution as electricians draw it: a trunk of devices in series, its potentials as lines, devices hanging on them.

A unit hangs where every wire at its upper pins comes from a line or from a unit above it. What cannot hang so is left
to the layout of all other circuits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.drawing.problem import LEFT, RIGHT, End, Problem, Spot, Stub, interrupted, subset
from wiring.drawing.units import Form, Unit
from wiring.drawing.wired import LOWER, UPPER, NodeOf, Wiring
from wiring.wording import natural

_HANGING = (Form.LANES, Form.FRAME, Form.POINTS, Form.CIRCLE)


class Line(Struct, frozen=True):
    """One potential across the sheet: its wires in order, and the lane that each of them ends at.

    `start` is the end of its first wire at the trunk, `onward` that of a wire which leads on to another place.
    """

    start: End
    wires: tuple[str, ...]
    taps: tuple[Spot, ...]
    onward: End | None = None


class Distribution(Struct, frozen=True):
    """The trunk as a problem of its own, the lines that leave it, and what hangs on them from the inlet on.

    `feeds` says of every hanging lane by which end of a unit above it is fed where no line does it, `beside` by which
    end at an upper pin of the unit to its left; `below` are the ends that leave each unit downwards.
    """

    trunk: Problem
    lines: tuple[Line, ...]
    hanging: tuple[Unit, ...]
    feeds: Mapping[Spot, tuple[End, Spot]]
    beside: Mapping[Spot, tuple[End, Spot]]
    below: Mapping[str, tuple[tuple[End, Spot], ...]]

    def fed_by(self, spot: Spot) -> End:
        """The end at the other side of the wire that feeds a lane from above or from beside."""
        return (self.feeds.get(spot) or self.beside[spot])[0]


def _root(wiring: Wiring) -> str | None:
    """Where a distribution begins: a source, at whose left nothing of this sheet arrives."""

    def rank(unit: Unit) -> tuple[object, ...]:
        left = wiring.at(unit.id, LEFT)
        joined = sum(wiring.far(end) is not None for end, _ in left)
        return joined > 0, bool(left), unit.form is not Form.FRAME, natural(unit.part)

    able = [
        unit
        for unit in wiring.units.values()
        if unit.form in (Form.FRAME, Form.LANES) and any(wiring.far(end) for end, _ in wiring.at(unit.id, RIGHT))
    ]
    return min(able, key=rank).id if able else None


def _trunk(wiring: Wiring, root: str) -> list[str]:
    """The units in series from the root up to the first that feeds more than one other."""
    trunk = [root]
    while True:
        ends = wiring.at(trunk[-1], RIGHT)
        far = [pair for end, _ in ends if (pair := wiring.far(end))]
        names = {spot[0] for _, spot in far}
        one_each = len({spot[1] for _, spot in ends}) == len(ends)
        if len(names) != 1 or not one_each or not _follows(wiring, next(iter(names)), far, trunk):
            return trunk
        trunk.append(next(iter(names)))


def _follows(wiring: Wiring, name: str, far: Sequence[tuple[End, Spot]], trunk: Sequence[str]) -> bool:
    unit = wiring.units[name]
    if name in trunk or unit.form not in (Form.LANES, Form.FRAME) or any(wiring.mates(*pair) for pair in far):
        return False
    if unit.flippable and all(wiring.side(*pair) == RIGHT for pair in far):
        wiring.turn(name)
    arrived = {end for end, _ in far}
    left = wiring.at(name, LEFT)
    from_elsewhere = any(wiring.far(end) and end not in arrived for end, _ in left)
    return all(wiring.side(*pair) == LEFT for pair in far) and not from_elsewhere


class _Hanging:
    """Finds the lines of a trunk and the units that hang on them."""

    def __init__(self, wiring: Wiring, trunk: Sequence[str], barred: Iterable[str]) -> None:
        self.wiring, self.trunk, self.barred = wiring, trunk, set(barred)
        self.found: list[str] = []
        self.lines: list[Line] = []
        self.on_line: set[str] = set()
        self.onward: set[End] = set()
        self.tapped: set[Spot] = set()
        self.feeds: dict[Spot, tuple[End, Spot]] = {}
        self.beside: dict[Spot, tuple[End, Spot]] = {}
        for end, _ in wiring.at(trunk[-1], RIGHT):
            if not wiring.is_shield(end):
                self._trace(end)
        for name in self.found:
            self._feed(name)

    def may_hang(self, name: str) -> bool:
        unit = self.wiring.units[name]
        shielded = unit.form in (Form.POINTS, Form.CIRCLE) and unit.tapped
        return name not in self.trunk and name not in self.barred and unit.form in _HANGING and not shielded

    def _take(self, end: End, spot: Spot) -> bool:
        """Let a unit hang on a wire that reaches it; turned where it can be."""
        name = spot[0]
        if not self.may_hang(name):
            return False
        unit = self.wiring.units[name]
        if unit.form is not Form.POINTS and self.wiring.side(end, spot) == LOWER:
            if not unit.flippable or name in self.found:
                return False
            self.wiring.turn(name)
        if name not in self.found:
            self.found.append(name)
            if unit.form is Form.CIRCLE:
                self.wiring.stand(name, {*self.trunk, *self.found})
        return True

    def _trace(self, end: End) -> None:
        """A line from a pin of the trunk: on from terminal to terminal."""
        start: End = end
        last: tuple[End, Spot] | None = None
        wires: list[str] = []
        taps: list[Spot] = []
        while (pair := self.wiring.far(end)) and pair[1] not in self.tapped and self._take(*pair):
            self.tapped.add(pair[1])
            wires.append(end[0])
            taps.append(pair[1])
            self.on_line.add(end[0])
            last = pair
            following = [mate for mate in self.wiring.mates(*pair) if self._leads_on(mate)]
            if not following:
                break
            end = following[0][0]
        if last is None:
            return
        mates = [end for end, _ in self.wiring.mates(*last) if not self.wiring.is_shield(end)]
        onward = next((end for end in mates if end[0] not in self.on_line), None)
        if onward and self.wiring.units[last[1][0]].form is not Form.POINTS:
            self.onward.add(onward)
            self.lines.append(Line(start, tuple(wires), tuple(taps), onward))
        else:
            self.lines.append(Line(start, tuple(wires), tuple(taps)))

    def _leads_on(self, mate: tuple[End, Spot]) -> bool:
        far = self.wiring.far(mate[0])
        if far is None or self.wiring.is_shield(mate[0]):
            return False
        return mate[0][0] not in self.on_line and self.may_hang(far[1][0])

    def _feed(self, name: str) -> None:
        """Units that hang on the lower pins of one that hangs."""
        for end, spot in self.lower(name):
            pair = self.wiring.far(end)
            if pair is None or end[0] in self.on_line or pair[1] in self.feeds or pair[1][0] == name:
                continue
            if self.wiring.is_shield(end):
                continue
            if pair[1] in self.tapped or self._above(pair[1][0], name):
                continue
            if self._take(*pair):
                self.feeds[pair[1]] = (end, spot)
                self._on_from(*pair)

    def _on_from(self, end: End, spot: Spot) -> None:
        """Units that wires from the upper pins of one with as many lanes feed as well stand beside it, lane by lane."""
        source = self.wiring.units[spot[0]]
        if source.form is not Form.LANES:
            return
        begun = {name for (name, _), (_, at) in self.beside.items() if at[0] == spot[0]}
        for mate, _ in self.wiring.mates(end, spot):
            pair = self.wiring.far(mate)
            if pair is None or self.wiring.is_shield(mate) or pair[1][0] in set(self.found) - begun:
                continue
            unit = self.wiring.units[pair[1][0]]
            alike = unit.form is Form.LANES and len(unit.lanes) == len(source.lanes) and pair[1][1] == spot[1]
            if alike and pair[1] not in self.beside and self._take(*pair):
                self.beside[pair[1]] = (mate, spot)
                self._on_from(*pair)
                return

    def _above(self, name: str, other: str) -> bool:
        """Whether a unit is among those that feed another one."""
        over = {source[0] for spot, (_, source) in self.feeds.items() if spot[0] == other}
        return name == other or any(self._above(name, source) for source in over)

    def lower(self, name: str) -> list[tuple[End, Spot]]:
        """The ends that leave a unit downwards: of terminal points all that do not arrive and are no line."""
        if self.wiring.units[name].form is not Form.POINTS:
            return self.wiring.at(name, LOWER)
        arrived = {(end[0], spot) for spot, (end, _) in self.feeds.items()}
        ends = [p for p in self.wiring.ends[name] if p[0][0] not in self.on_line and (p[0][0], p[1]) not in arrived]
        return sorted(ends, key=lambda pair: (pair[1][1], natural(pair[0][0])))

    def misfits(self) -> set[str]:
        """Units that hang with a wire at an upper pin which comes from nowhere above."""
        arrived = {wire for line in self.lines for wire in line.wires} | {
            end[0] for end, _ in (*self.feeds.values(), *self.beside.values())
        }
        return {
            name
            for name in self.found
            if self.wiring.units[name].form is not Form.POINTS
            and any(end[0] not in arrived and end not in self.onward for end, _ in self.wiring.at(name, UPPER))
        }


def distributions(
    problem: Problem, node_of: NodeOf, fits: Callable[[Distribution], set[str]]
) -> tuple[Distribution | None, Problem]:
    """A connected problem as a distribution and the rest; None where nothing can hang.

    `fits` names the units that cannot hang as they are ordered; they are left to the rest.
    """
    barred: set[str] = set()
    while True:
        wiring = Wiring(problem, node_of)
        root = _root(wiring)
        if root is None:
            return None, problem
        trunk = _trunk(wiring, root)
        hanging = _Hanging(wiring, trunk, barred)
        if not hanging.found:
            return None, problem
        wrong = hanging.misfits()
        made = _made(wiring, trunk, hanging)
        wrong |= set() if wrong else fits(made)
        if not wrong:
            return made, _rest(wiring, made)
        barred |= wrong


def _made(wiring: Wiring, trunk: Sequence[str], hanging: _Hanging) -> Distribution:
    names = set(trunk)
    kept = subset(replace(wiring.problem, joins=()), [wiring.units[name] for name in trunk])
    joins = tuple(join for join in wiring.problem.joins if join.a[0] in names and join.b[0] in names)
    opened = {line.start for line in hanging.lines}
    stubs = [*kept.stubs]
    for name in trunk:
        for end, spot in wiring.ends[name]:
            pair = wiring.far(end)
            if pair and pair[1][0] not in names:
                stubs.append(Stub(end, spot, RIGHT, end in opened))
    inner = Problem(kept.units, joins, tuple(stubs))
    units = tuple(wiring.units[name] for name in hanging.found)
    below = {unit.id: tuple(hanging.lower(unit.id)) for unit in units}
    return Distribution(inner, tuple(hanging.lines), units, hanging.feeds, hanging.beside, below)


def _rest(wiring: Wiring, made: Distribution) -> Problem:
    """What neither the trunk nor what hangs on it takes; wires to them are interrupted."""
    taken = {unit.id for unit in (*made.trunk.units, *made.hanging)}
    units = [unit for unit in wiring.problem.units if unit.id not in taken]
    cut = [join.wire for join in wiring.problem.joins if (join.a[0] in taken) != (join.b[0] in taken)]
    return subset(interrupted(wiring.problem, cut), units)
