"""Where a further wire may run on a sheet that is drawn: level and upright lines, what blocks and what crosses them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from msgspec import Struct

from wiring.drawing.footprint import box_of
from wiring.drawing.shapes import Box, Group, Line, Point, Text

#: Clearances [mm]: from words, from symbols, from wires that run beside, from corners and ends of wires.
_WORDS, _SYMBOL, _BESIDE, _CORNER = 0.7, 1.2, 1.2, 1.2
_WIRES = ("wire", "fan-out")
LEVEL, UPRIGHT = 0, 1


class _Obstacle(Struct, frozen=True):
    """A rectangle that no line may enter, with `along` only those that run in one direction; a wire may be crossed."""

    box: Box
    owner: str
    along: int | None = None
    crossed_at: float | None = None


def _obstacles(group: Group) -> Iterator[_Obstacle]:
    if group.kind in _WIRES:
        for shape in group.shapes:
            if isinstance(shape, Line):
                yield from wire_obstacles(shape.points, group.id if group.kind == "wire" else "")
        return
    body = dict(group.data).get("body")
    if body:
        x1, y1, x2, y2 = (float(value) for value in body.split())
        yield _Obstacle(_grown(Box(x1, y1, x2, y2), _SYMBOL), "")
    owner = group.id if group.kind == "reference" else ""
    for shape in group.shapes:
        box = box_of(shape)
        if box is not None:
            yield _Obstacle(_grown(box, _WORDS if isinstance(shape, Text) else _SYMBOL), owner)


def wire_obstacles(points: tuple[Point, ...], owner: str) -> Iterator[_Obstacle]:
    """What a wire leaves to others: they may cross its strokes, not run along them or over its corners."""
    for (x1, y1), (x2, y2) in pairwise(points):
        box = Box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
        level = abs(y1 - y2) < 1e-6
        yield _Obstacle(_grown(box, _BESIDE), owner, LEVEL if level else UPRIGHT, y1 if level else x1)
    for x, y in points:
        yield _Obstacle(_grown(Box(x, y, x, y), _CORNER), owner)


def _grown(box: Box, by: float) -> Box:
    return Box(box.x1 - by, box.y1 - by, box.x2 + by, box.y2 + by)


class FreeLines:
    """The free stretches of every line of a sheet, worked out when they are asked for."""

    def __init__(self, groups: Iterable[Group], area: Box) -> None:
        self.area = area
        self.obstacles = [obstacle for group in groups for obstacle in _obstacles(group)]
        self._kept: dict[tuple[int, float], list[_Obstacle]] = {}

    def replace(self, owner: str, points: tuple[Point, ...]) -> None:
        """Put the line of a wire in the place of its stubs and references."""
        self.obstacles = [one for one in self.obstacles if one.owner != owner]
        self.obstacles += wire_obstacles(points, owner)
        self._kept = {}

    def _near(self, direction: int, at: float) -> list[_Obstacle]:
        key = (direction, at)
        if key not in self._kept:
            self._kept[key] = [
                one
                for one in self.obstacles
                if (one.box.y1 < at < one.box.y2 if direction == LEVEL else one.box.x1 < at < one.box.x2)
            ]
        return self._kept[key]

    def step(self, direction: int, at: float, start: float, end: float, owner: str) -> int | None:
        """Wires crossed between two points of a line, None where something is in the way."""
        low, high = (start, end) if start < end else (end, start)
        x1, x2 = (self.area.x1, self.area.x2) if direction == LEVEL else (self.area.y1, self.area.y2)
        y1, y2 = (self.area.y1, self.area.y2) if direction == LEVEL else (self.area.x1, self.area.x2)
        if low < x1 or high > x2 or not y1 <= at <= y2:
            return None
        crossed = 0
        for one in self._near(direction, at):
            if one.owner == owner:
                continue
            first, last = (one.box.x1, one.box.x2) if direction == LEVEL else (one.box.y1, one.box.y2)
            if high <= first or low >= last:
                continue
            if one.along is None or one.along == direction:
                return None
            assert one.crossed_at is not None
            crossed += low < one.crossed_at <= high
        return crossed
