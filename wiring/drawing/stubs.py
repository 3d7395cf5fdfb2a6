"""The ends of interrupted wires on a sheet: where each breaks off, and how much of it its words and rings need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.drawing.footprint import box_of
from wiring.drawing.free_lines import LEVEL, UPRIGHT
from wiring.drawing.grid import MODULE
from wiring.drawing.shapes import Box, Group, Line, Point

#: What stands within so much of a stub on either side belongs to it, and its end keeps so much clear of that [mm].
_BESIDE, _CLEAR = 5.0, 1.2


class Stub(Struct, frozen=True):
    """One end of an interrupted wire: its group, and the way it leaves its last point."""

    group: Group
    points: tuple[Point, ...]
    way: tuple[int, int]


def stub_of(group: Group) -> Stub:
    """The stub that a group of a wire draws."""
    line = next(shape for shape in group.shapes if isinstance(shape, Line))
    (x1, y1), (x2, y2) = line.points[-2:]
    level = abs(y1 - y2) < 1e-6
    return Stub(group, line.points, (LEVEL if level else UPRIGHT, 1 if (x2 > x1 if level else y2 > y1) else -1))


def trimmed(stub: Stub, groups: Sequence[Group]) -> Stub:
    """A stub without what was only its way to the reference: cut behind its number, its marks and the ring of its
    cable, so that the wire may turn there."""
    direction, sense = stub.way
    start, end = stub.points[-2][direction], stub.points[-1][direction]
    needed = [start] + [box[direction + (2 if sense > 0 else 0)] for box in _beside(stub, groups)]
    at = max(needed, key=lambda value: value * sense) + sense * _CLEAR
    # on the grid, counted from the end, where neighbours were cut too
    at = end - sense * MODULE * max(int((end - at) * sense / MODULE), 0)
    last = (at, stub.points[-1][1]) if direction == LEVEL else (stub.points[-1][0], at)
    return replace(stub, points=(*stub.points[:-1], last))


def _beside(stub: Stub, groups: Sequence[Group]) -> Iterator[tuple[float, float, float, float]]:
    """The boxes (x1, y1, x2, y2) of what stands at a stub and belongs to its wire, marks of findings with it."""
    (x1, y1), (x2, y2) = stub.points[-2:]
    near = Box(min(x1, x2) - _BESIDE, min(y1, y2) - _BESIDE, max(x1, x2) + _BESIDE, max(y1, y2) + _BESIDE)
    for group in groups:
        if not _belongs(group, stub.group.id):
            continue
        for shape in group.shapes:
            box = box_of(shape)
            if box and box.x1 < near.x2 and near.x1 < box.x2 and box.y1 < near.y2 and near.y1 < box.y2:
                yield box.x1, box.y1, box.x2, box.y2


def _belongs(group: Group, wire: str) -> bool:
    if group.kind == "cable":
        return wire in dict(group.data).get("conductors", "").split()
    return group.kind == "finding" or (group.kind == "label" and group.id == wire)
