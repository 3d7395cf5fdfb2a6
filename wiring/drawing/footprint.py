"""The space that a block takes on paper: row by row from its leftmost to its rightmost mark, with a margin.

Rows are cells of the grid. What is hollow between two marks of a row is not given away, a corner that is free is.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from wiring.drawing.grid import MODULE
from wiring.drawing.shapes import ADVANCE, Box, Group, Line, Oval, Shape, Text, places

_MARGIN = 0.8


class Footprint(Struct, frozen=True):
    """For every row of cells the first and the last that are taken, or None; the upper left is at `left`, `top`."""

    left: int
    top: int
    rows: tuple[tuple[int, int] | None, ...]

    @property
    def width(self) -> int:
        """Cells across."""
        return 1 + max(row[1] for row in self.rows if row)

    @property
    def count(self) -> int:
        """How many cells it takes."""
        return sum(row[1] - row[0] + 1 for row in self.rows if row)


def box_of(shape: Shape) -> Box | None:
    """The rectangle about the ink of a shape, None for what is not seen."""
    match shape:
        case Line():
            xs, ys = zip(*shape.points, strict=True)
            return Box(min(xs), min(ys), max(xs), max(ys))
        case Oval():
            return Box(shape.x - shape.rx, shape.y - shape.ry, shape.x + shape.rx, shape.y + shape.ry)
        case Text():
            width = places(shape.text) * ADVANCE * shape.size
            left = shape.x - {"start": 0.0, "middle": width / 2, "end": width}[shape.anchor]
            return Box(left, shape.y - 0.76 * shape.size, left + width, shape.y + 0.24 * shape.size)
    return None


def footprint(groups: Iterable[Group]) -> Footprint:
    """The cells of a block drawn at the origin."""
    spans: dict[int, tuple[int, int]] = {}
    for group in groups:
        body = dict(group.data).get("body")
        own = [Box(*(float(value) for value in body.split()))] if body else []
        for box in (*own, *filter(None, map(box_of, group.shapes))):
            first, last = _cell(box.x1 - _MARGIN), _cell(box.x2 + _MARGIN)
            for row in range(_cell(box.y1 - _MARGIN), _cell(box.y2 + _MARGIN) + 1):
                now = spans.get(row)
                spans[row] = (min(first, now[0]), max(last, now[1])) if now else (first, last)
    left, top = min(span[0] for span in spans.values()), min(spans)
    rows = [spans.get(row) for row in range(top, max(spans) + 1)]
    return Footprint(left, top, tuple((row[0] - left, row[1] - left) if row else None for row in rows))


def _cell(value: float) -> int:
    return int(value // MODULE)


class Ground(Struct):
    """The cells of one sheet as bits of a number a row."""

    width: int
    height: int
    taken: list[int]

    @classmethod
    def of(cls, area: Box) -> Ground:
        """The free cells of an area."""
        width, height = round(area.width / MODULE - 0.5) + 2, round(area.height / MODULE - 0.5) + 2
        return cls(width, height, [0] * height)

    def copy(self) -> Ground:
        """A ground to try on."""
        return Ground(self.width, self.height, list(self.taken))

    def free(self, block: Footprint, start: int = 0) -> tuple[int, int] | None:
        """The uppermost place for a block from row `start` on, and then the leftmost, as cell."""
        across = self.width - block.width
        if across < 0:
            return None
        rows = [(n, *row) for n, row in enumerate(block.rows) if row]
        for y in range(start, self.height - len(block.rows) + 1):
            places = (1 << (across + 1)) - 1
            for n, first, last in rows:
                if taken := self.taken[y + n]:
                    places &= ~_spread(taken >> first, last - first)
                    if not places:
                        break
            else:
                return (places & -places).bit_length() - 1, y
        return None

    def take(self, block: Footprint, x: int, y: int) -> None:
        """Mark the cells of a block as taken."""
        for n, row in enumerate(block.rows):
            if row:
                self.taken[y + n] |= ((1 << (row[1] - row[0] + 1)) - 1) << (x + row[0])


def _spread(bits: int, length: int) -> int:
    """Bits that are set when any of the following `length` is set: where a run of cells would meet one taken."""
    done = 0
    while done < length:
        step = min(done + 1, length - done)
        bits |= bits >> step
        done += step
    return bits
