"""Wires with both ends on one sheet that the layout had interrupted, drawn through where there is a way for them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from msgspec.structs import replace

from wiring.drawing.free_lines import FreeLines
from wiring.drawing.shapes import Box, Group, Line, Point
from wiring.drawing.stubs import Stub, stub_of, trimmed
from wiring.drawing.way import Way, distance, way_between

#: How often all ways are gone through for two that do better in the other order.
_ROUNDS = 2
#: The way of each wire that found one, by its id.
Ways = dict[str, tuple[Point, ...]]


def drawn_through(groups: Sequence[Group], area: Box) -> list[Group]:
    """The groups of a sheet with every wire drawn from end to end that finds a way between its references."""
    return with_ways(groups, ways_through(groups, area))


def ways_through(groups: Sequence[Group], area: Box) -> Ways:
    """The ways of the wires that find one between their references.

    A line of a distribution that goes on in a further row keeps its references: drawn, it would run back as a loop. So
    do all wires between the same two parts where one of them finds none: half of a pair drawn reads as the whole.
    """
    lines = {group.id for group in groups if group.kind == "reference" and ("line", "on") in group.data}
    stubs = {wire: found for wire, found in _stubs(groups).items() if len(found) == 2 and wire not in lines}
    words = [group for group in groups if group.kind in ("label", "cable", "finding")]
    pairs = [(trimmed(stub_of(found[0]), words), trimmed(stub_of(found[1]), words)) for found in stubs.values()]
    pairs.sort(key=lambda pair: (distance(*pair), pair[0].group.id))
    joined = _joined(groups, stubs)
    seeking = {pair[0].group.id: pair for pair in pairs}
    while True:
        found = _Search(seeking, FreeLines(groups, area)).run()
        torn = {joined[wire] for wire in seeking if wire not in found}
        if not any(joined[wire] in torn for wire in found):
            return {wire: way.points for wire, way in found.items()}
        seeking = {wire: pair for wire, pair in seeking.items() if joined[wire] not in torn}


def _joined(groups: Sequence[Group], wires: Collection[str]) -> dict[str, frozenset[str]]:
    """The two parts that each of the wires joins."""
    found: dict[str, set[str]] = {}
    for group in groups:
        if group.kind == "reference" and group.id in wires:
            found.setdefault(group.id, set()).add(dict(group.data).get("far", group.id))
    return {wire: frozenset(parts) for wire, parts in found.items()}


class _Search:
    """The wires that seek a way, in the order in which they do, and what they have found."""

    def __init__(self, pairs: dict[str, tuple[Stub, Stub]], free: FreeLines) -> None:
        self.pairs, self.free = pairs, free
        self.found: dict[str, Way] = {}

    def run(self) -> dict[str, Way]:
        """Each wire for itself, then by turns with those that it crosses."""
        for wire in self.pairs:
            self._draw(wire, way_between(*self.pairs[wire], self.free))
        for _ in range(_ROUNDS):
            if not [wire for wire in self.pairs if self._bettered(wire)]:
                break
        return self.found

    def _draw(self, wire: str, way: Way | None) -> None:
        """Put a way on the sheet, or take it off again."""
        if way is not None:
            self.found[wire] = way
            self.free.replace(wire, way.points)
        elif self.found.pop(wire, None):
            self.free.restore(wire)

    def _bettered(self, wire: str) -> bool:
        """Whether a wire that crosses others finds less by itself, or when it is drawn before one that it crosses."""
        way = self.found.get(wire)
        if way is None or not way.crossed:
            return False
        for other in [each for each in self.found if each != wire and _crosses(way.points, self.found[each].points)]:
            if self._exchanged(wire, other):
                return True
        return False

    def _exchanged(self, wire: str, other: str) -> bool:
        before = {each: self.found[each] for each in (wire, other)}
        for each in before:
            self._draw(each, None)
        for each in before:
            self._draw(each, way_between(*self.pairs[each], self.free))
        now = [self.found[each].cost for each in before if each in self.found]
        if len(now) == len(before) and sum(now) < sum(way.cost for way in before.values()) - 1e-6:
            return True
        for each, way in before.items():
            self._draw(each, way)
        return False


def _crosses(one: Sequence[Point], two: Sequence[Point]) -> bool:
    """Whether two ways cross."""
    return any(_cut(a, b, c, d) or _cut(c, d, a, b) for a, b in pairwise(one) for c, d in pairwise(two))


def _cut(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the level stroke a b is cut by the upright one c d."""
    level, upright = abs(a[1] - b[1]) < 1e-6, abs(c[0] - d[0]) < 1e-6
    across = min(a[0], b[0]) < c[0] < max(a[0], b[0]) and min(c[1], d[1]) < a[1] < max(c[1], d[1])
    return level and upright and across


def _stubs(groups: Sequence[Group]) -> dict[str, list[Group]]:
    found: dict[str, list[Group]] = {}
    for group in groups:
        if group.kind == "wire":
            found.setdefault(group.id, []).append(group)
    return found


def with_ways(groups: Sequence[Group], ways: Ways) -> list[Group]:
    """The groups of a sheet with these wires drawn from end to end."""
    stubs, done = _stubs(groups), dict[str, Group]()
    for wire, points in ways.items():
        first = stubs[wire][0]
        line = next(shape for shape in first.shapes if isinstance(shape, Line))
        done[wire] = replace(first, shapes=(replace(line, points=points),))
    return [done.get(group.id, group) if group.kind == "wire" else group for group in _kept(groups, done)]


def _kept(groups: Sequence[Group], done: dict[str, Group]) -> list[Group]:
    found = []
    seen: set[str] = set()
    for group in groups:
        if group.id in done and group.kind in ("wire", "reference"):
            if group.kind == "reference" or group.id in seen:
                continue
            seen.add(group.id)
        found.append(group)
    return found
