"""Wires with both ends on one sheet that the layout had interrupted, drawn through where there is a way for them.

A way crosses three wires at most and has four corners at most: what winds further is read sooner by its references.
Wires between the same two parts are drawn together or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import heappop, heappush

from msgspec import Struct
from msgspec.structs import replace

from wiring.drawing.block import straightened
from wiring.drawing.free_lines import LEVEL, UPRIGHT, FreeLines
from wiring.drawing.grid import MODULE
from wiring.drawing.labels import Names
from wiring.drawing.shapes import Box, Group, Line, Point

#: A way that crosses more wires than this is not drawn, nor one with more corners.
MOST_CROSSED, MOST_CORNERS = 3, 4
#: What a corner and a crossing cost, in mm of way; and how many corners are looked at before it is given up.
_CORNER, _CROSSING, _PATIENCE = 12.0, 20.0, 6000
#: A way costs at most so many times its straight length and so much more [mm].
_DETOUR, _ROUND = 1.6, 200.0
_WAYS = ((LEVEL, 1), (LEVEL, -1), (UPRIGHT, 1), (UPRIGHT, -1))


class _Stub(Struct, frozen=True):
    """One end of an interrupted wire: its group, and the way it leaves its last point."""

    group: Group
    points: tuple[Point, ...]
    way: tuple[int, int]


def _stub(group: Group) -> _Stub:
    line = next(shape for shape in group.shapes if isinstance(shape, Line))
    (x1, y1), (x2, y2) = line.points[-2:]
    level = abs(y1 - y2) < 1e-6
    return _Stub(group, line.points, (LEVEL if level else UPRIGHT, 1 if (x2 > x1 if level else y2 > y1) else -1))


#: The way of each wire that found one, by its id.
Ways = dict[str, tuple[Point, ...]]
#: The parts at the ends of each wire.
Parts = Mapping[str, frozenset[str]]


def parts_at(names: Names) -> Parts:
    """The parts at the ends of every conductor."""
    return {wire: frozenset(node[0] for node in one.ends) for wire, one in names.conductors.items()}


def drawn_through(groups: Sequence[Group], area: Box, parts: Parts) -> list[Group]:
    """The groups of a sheet with every wire drawn from end to end that finds a way between its references."""
    return with_ways(groups, ways_through(groups, area, parts))


def ways_through(groups: Sequence[Group], area: Box, parts: Parts) -> Ways:
    """The ways of the wires that find one between their references, `parts` at the ends of every wire.

    A line of a distribution that goes on in a further row keeps its references: drawn, it would run back as a loop.
    """
    lines = {group.id for group in groups if group.kind == "reference" and ("line", "on") in group.data}
    stubs = {wire: found for wire, found in _stubs(groups).items() if len(found) == 2 and wire not in lines}
    pairs = [(_stub(found[0]), _stub(found[1])) for found in stubs.values()]
    pairs.sort(key=lambda pair: (_distance(*pair), pair[0].group.id))
    while True:
        done = _found(pairs, FreeLines(groups, area))
        half = {parts[one.group.id] for one, _ in pairs if one.group.id not in done}
        whole = [pair for pair in pairs if parts[pair[0].group.id] not in half]
        if len(whole) == len(done):
            return done
        pairs = whole


def _found(pairs: Sequence[tuple[_Stub, _Stub]], free: FreeLines) -> Ways:
    done: Ways = {}
    for one, two in pairs:
        points = _way(one, two, free)
        if points is not None and len(points) - 2 <= MOST_CORNERS:
            done[one.group.id] = points
            free.replace(one.group.id, points)
    return done


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


def _distance(one: _Stub, two: _Stub) -> float:
    (x1, y1), (x2, y2) = one.points[-1], two.points[-1]
    return abs(x1 - x2) + abs(y1 - y2)


class _Lattice:
    """The lines on which a way may run: those of the grid, and those of its two ends."""

    def __init__(self, one: Point, two: Point, area: Box) -> None:
        self.xs = _lines(area.x1, area.x2, one[0], two[0])
        self.ys = _lines(area.y1, area.y2, one[1], two[1])
        self.column = {x: n for n, x in enumerate(self.xs)}
        self.row = {y: n for n, y in enumerate(self.ys)}

    def next(self, at: Point, way: tuple[int, int]) -> Point | None:
        """The next point in one of the four ways."""
        if way[0] == LEVEL:
            n = self.column[at[0]] + way[1]
            return (self.xs[n], at[1]) if 0 <= n < len(self.xs) else None
        n = self.row[at[1]] + way[1]
        return (at[0], self.ys[n]) if 0 <= n < len(self.ys) else None


def _lines(low: float, high: float, one: float, two: float) -> list[float]:
    grid = [low + MODULE * n for n in range(int((high - low) / MODULE) + 1)]
    clear = [at for at in grid if abs(at - one) > 0.6 and abs(at - two) > 0.6]
    return sorted({*clear, one, two})


def _way(one: _Stub, two: _Stub, free: FreeLines) -> tuple[Point, ...] | None:
    """A way from stub to stub of least length, corners and crossings; None where there is none."""
    start, goal = one.points[-1], two.points[-1]
    lattice = _Lattice(start, goal, free.area)
    arrival = (two.way[0], -two.way[1])
    owner = one.group.id
    ground = [(stub.points[-1], _ground(stub)) for stub in (one, two)]
    most = _DETOUR * _distance(one, two) + _ROUND
    queue: list[tuple[float, int, Point, tuple[int, int], int]] = [(0.0, 0, start, one.way, 0)]
    cost: dict[tuple[Point, tuple[int, int]], float] = {(start, one.way): 0.0}
    before: dict[tuple[Point, tuple[int, int]], tuple[Point, tuple[int, int]]] = {}
    count = 0
    while queue and count < _PATIENCE:
        _, _, at, way, passed = heappop(queue)
        count += 1
        if at == goal and way == arrival:
            return _traced((at, way), before, one, two)
        for following in _WAYS:
            if following[0] == way[0] and following[1] != way[1]:
                continue
            if at == start and following != one.way:
                continue
            there = lattice.next(at, following)
            if there is None:
                continue
            fixed, a, b = (at[1], at[0], there[0]) if following[0] == LEVEL else (at[0], at[1], there[1])
            crossed = free.step(following[0], fixed, a, b, owner)
            if crossed is None or passed + crossed > MOST_CROSSED or _over_stub(at, there, ground):
                continue
            total = cost[at, way] + abs(a - b) + crossed * _CROSSING + (_CORNER if following != way else 0.0)
            key = (there, following)
            if total < cost.get(key, 1e9) - 1e-9:
                cost[key], before[key] = total, (at, way)
                far = total + abs(there[0] - goal[0]) + abs(there[1] - goal[1])
                if far <= most:
                    heappush(queue, (far, count, there, following, passed + crossed))
    return None


def _ground(stub: _Stub) -> Box:
    """The strip on which a stub lies."""
    (x1, y1), (x2, y2) = stub.points[0], stub.points[-1]
    return Box(min(x1, x2) - 1.0, min(y1, y2) - 1.0, max(x1, x2) + 1.0, max(y1, y2) + 1.0)


def _over_stub(a: Point, b: Point, ground: Sequence[tuple[Point, Box]]) -> bool:
    """Whether a step runs on the wire's own stubs, but for their ends."""
    return any(
        (box.x1 < a[0] < box.x2 or box.x1 < b[0] < box.x2)
        and (box.y1 < a[1] < box.y2 or box.y1 < b[1] < box.y2)
        and end not in (a, b)
        for end, box in ground
    )


def _traced(
    last: tuple[Point, tuple[int, int]],
    before: dict[tuple[Point, tuple[int, int]], tuple[Point, tuple[int, int]]],
    one: _Stub,
    two: _Stub,
) -> tuple[Point, ...]:
    points = [last[0]]
    state = last
    while state in before:
        state = before[state]
        points.append(state[0])
    whole = [*one.points[:-1], *reversed(points), *reversed(two.points[:-1])]
    return tuple(straightened(whole))
