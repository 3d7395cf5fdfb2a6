"""A way for one wire between the two ends at which it had broken off: least length, few corners and crossings."""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush

from msgspec import Struct

from wiring.drawing.block import straightened
from wiring.drawing.free_lines import LEVEL, UPRIGHT, FreeLines
from wiring.drawing.grid import MODULE
from wiring.drawing.shapes import Box, Point
from wiring.drawing.stubs import Stub

#: A way that crosses more wires than this is not drawn.
MOST_CROSSED = 3
#: Nor is one with more corners: it would go round in loops, and two references are sooner read.
MOST_CORNERS = 5
#: What a corner and a crossing cost, in mm of way; and how many corners are looked at before it is given up.
_CORNER, _CROSSING, _PATIENCE = 20.0, 24.0, 10000
#: A way may be so many times as long as the straight one, with its corners and crossings, and so much more [mm].
_DETOUR, _ROUND = 1.4, 200.0
_WAYS = ((LEVEL, 1), (LEVEL, -1), (UPRIGHT, 1), (UPRIGHT, -1))


class Way(Struct, frozen=True):
    """The corners of a wire from end to end, what it costs in mm of straight way, and how many wires it crosses."""

    points: tuple[Point, ...]
    cost: float
    crossed: int


def distance(one: Stub, two: Stub) -> float:
    """How far two stubs end from each other, along the grid [mm]."""
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


def way_between(one: Stub, two: Stub, free: FreeLines) -> Way | None:
    """A way from stub to stub of least length, corners and crossings; None where there is none."""
    start, goal = one.points[-1], two.points[-1]
    lattice = _Lattice(start, goal, free.area)
    arrival = (two.way[0], -two.way[1])
    owner = one.group.id
    ground = [(stub.points[-1], _ground(stub)) for stub in (one, two)]
    most = _DETOUR * distance(one, two) + _ROUND
    queue: list[tuple[float, int, Point, tuple[int, int], int, int]] = [(0.0, 0, start, one.way, 0, 0)]
    cost: dict[tuple[Point, tuple[int, int]], float] = {(start, one.way): 0.0}
    before: dict[tuple[Point, tuple[int, int]], tuple[Point, tuple[int, int]]] = {}
    settled: set[tuple[Point, tuple[int, int]]] = set()
    count = 0
    while queue and count < _PATIENCE:
        _, _, at, way, passed, turned = heappop(queue)
        if (at, way) in settled:
            continue
        settled.add((at, way))
        count += 1
        if at == goal and way == arrival:
            return Way(_traced((at, way), before, one, two), cost[at, way], passed)
        for following in _WAYS:
            if following[0] == way[0] and following[1] != way[1]:
                continue
            if at == start and following != one.way:
                continue
            there = lattice.next(at, following)
            if there is None or (there, following) in settled:
                continue
            corners = turned + (following != way)
            left = _corners_left(there, following, goal, arrival)
            if corners + left > MOST_CORNERS:
                continue
            fixed, a, b = (at[1], at[0], there[0]) if following[0] == LEVEL else (at[0], at[1], there[1])
            crossed = free.step(following[0], fixed, a, b, owner)
            if crossed is None or passed + crossed > MOST_CROSSED or _over_stub(at, there, ground):
                continue
            total = cost[at, way] + abs(a - b) + crossed * _CROSSING + (_CORNER if following != way else 0.0)
            key = (there, following)
            if total < cost.get(key, 1e9) - 1e-9:
                cost[key], before[key] = total, (at, way)
                far = total + abs(there[0] - goal[0]) + abs(there[1] - goal[1]) + left * _CORNER
                if far <= most:
                    heappush(queue, (far, count, there, following, passed + crossed, corners))
    return None


def _corners_left(at: Point, way: tuple[int, int], goal: Point, arrival: tuple[int, int]) -> int:
    """The corners that the rest of a way cannot do without."""
    if way[0] != arrival[0]:
        return 1
    across = 1 - arrival[0]
    ahead = (goal[arrival[0]] - at[arrival[0]]) * arrival[1] >= 0 and abs(goal[across] - at[across]) < 1e-6
    return 0 if way == arrival and ahead else 2


def _ground(stub: Stub) -> Box:
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
    one: Stub,
    two: Stub,
) -> tuple[Point, ...]:
    points = [last[0]]
    state = last
    while state in before:
        state = before[state]
        points.append(state[0])
    whole = [*one.points[:-1], *reversed(points), *reversed(two.points[:-1])]
    return tuple(straightened(whole))
