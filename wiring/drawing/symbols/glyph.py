"""A glyph: what stands between two pins on one line, drawn from (0, 0) to (width, 0); and strokes to build it from."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin

from msgspec import Struct

from wiring.drawing.shapes import Line, Oval, Pen, Point, Shape


class Glyph(Struct, frozen=True):
    """A two-ended symbol. `link_x`, `link_y` is where a mechanical link or an operator meets its moving part.

    The lines from the pins to the body, which stands from `left` to `right`, are not among its shapes: they are as
    thick as their wires. `above` and `below` are the heights it takes over and under its line [mm].

    `open` and `closed` are the pieces that are seen in one position of a contact only. Paper shows those of them that
    are among the shapes; a screen shows the others of the shapes, and with them those of the position.
    """

    width: float
    left: float
    right: float
    shapes: tuple[Shape, ...]
    link_x: float = 0.0
    link_y: float = 0.0
    above: float = 0.0
    below: float = 0.0
    open: tuple[Shape, ...] = ()
    closed: tuple[Shape, ...] = ()

    @property
    def still(self) -> tuple[Shape, ...]:
        """The shapes that do not move."""
        return tuple(shape for shape in self.shapes if shape not in self.open and shape not in self.closed)

    @property
    def whole(self) -> tuple[Shape, ...]:
        """The symbol with its lines, all in the stroke of symbols."""
        return (stroke((0.0, 0.0), (self.left, 0.0)), stroke((self.right, 0.0), (self.width, 0.0)), *self.shapes)


def stroke(*points: Point, pen: Pen = Pen.SYMBOL) -> Line:
    """An open chain of strokes."""
    return Line(points, pen)


def solid(*points: Point) -> Line:
    """A filled polygon."""
    return Line(points, Pen.SYMBOL, True, True)


def outline(*points: Point, pen: Pen = Pen.SYMBOL) -> Line:
    """A closed polygon."""
    return Line(points, pen, True)


def box(x1: float, y1: float, x2: float, y2: float, pen: Pen = Pen.SYMBOL) -> Line:
    """A rectangle."""
    return Line(((x1, y1), (x2, y1), (x2, y2), (x1, y2)), pen, True)


def ring(x: float, y: float, r: float, *, filled: bool = False) -> Oval:
    """A circle."""
    return Oval(x, y, r, r, Pen.SYMBOL, filled)


def arc(x: float, y: float, r: float, start: float, end: float, pen: Pen = Pen.SYMBOL, flat: float = 1.0) -> Line:
    """Part of a circle from angle `start` to `end` [degrees, clockwise from the right]; `flat` squeezes it in y."""
    steps = max(6, round(abs(end - start) / 12))
    angles = [(start + (end - start) * n / steps) * pi / 180 for n in range(steps + 1)]
    return Line(tuple((round(x + r * cos(a), 3), round(y + flat * r * sin(a), 3)) for a in angles), pen)


def wave(x: float, y: float, width: float, height: float, pen: Pen = Pen.HAIR) -> Line:
    """One period of a sine about (x, y)."""
    points = []
    for n in range(17):
        share = n / 16
        points.append((round(x - width / 2 + width * share, 3), round(y - height * sin(2 * pi * share), 3)))
    return Line(tuple(points), pen)


def humps(x: float, y: float, count: int, r: float, side: int) -> list[Line]:
    """A row of half circles downwards from (x, y), open towards the line; `side` 1 bulges right, -1 left."""
    start, end = (-90.0, 90.0) if side > 0 else (-90.0, -270.0)
    return [arc(x, y + r + 2 * r * n, r, start, end) for n in range(count)]


def joined(
    width: float,
    shapes: Sequence[Shape],
    body: tuple[float, float],
    link_x: float = 0.0,
    link_y: float = 0.0,
    *,
    open: Sequence[Shape] = (),
    closed: Sequence[Shape] = (),
) -> Glyph:
    """A glyph whose body stands between two x; its heights are those of its shapes."""
    ys = [0.0]
    for shape in shapes:
        if isinstance(shape, Line):
            ys += [y for _, y in shape.points]
        elif isinstance(shape, Oval):
            ys += [shape.y - shape.ry, shape.y + shape.ry]
    heights = (max(0.0, -min(ys)), max(ys))
    return Glyph(width, *body, tuple(shapes), link_x, link_y, *heights, tuple(open), tuple(closed))
