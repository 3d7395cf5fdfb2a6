"""Units that hang on a line: drawn downwards, upper pins at the top, one lane beside the other."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from wiring.circuit.model import named
from wiring.drawing.body import Artist, Drawn, Pens, is_shield, marking, point_text
from wiring.drawing.grid import MODULE
from wiring.drawing.shapes import Box, Line, Oval, Pen, Point, Shape, Text, moved_all, rectangle, text_width
from wiring.drawing.symbols.glyph import Glyph, stroke
from wiring.drawing.units import Form, Lane, Unit

_LEAD, _EDGE, _EMBLEM_HEIGHT = 3.0, 2.5, 7.5
#: Between the left lane and its operator, and the reach of that operator to the left [mm].
_OPERATOR, _OPERATOR_REACH = 5.2, 3.0
_BLADE = 2.6
_FRAME_SIDE, _RADIUS = 5.0, 6.5
#: Distance of the lines of words at a unit.
WORD_LINE = 3.7


def _turned(shape: Shape) -> Shape:
    """A shape turned clockwise about the origin, its words upright."""

    def at(point: Point) -> Point:
        return -point[1], point[0]

    if isinstance(shape, Line):
        return Line(tuple(at(p) for p in shape.points), shape.pen, shape.closed, shape.filled, shape.of, shape.when)
    if isinstance(shape, Oval):
        return Oval(*at((shape.x, shape.y)), shape.ry, shape.rx, shape.pen, shape.filled, shape.of, shape.when)
    return shape


def _laid(shape: Shape) -> Shape:
    """An operator turned to the left, so that its link leaves it to the right."""
    if isinstance(shape, Line):
        return Line(tuple((y, -x) for x, y in shape.points), shape.pen, shape.closed, shape.filled)
    if isinstance(shape, Oval):
        return Oval(shape.y, -shape.x, shape.ry, shape.rx, shape.pen, shape.filled)
    if isinstance(shape, Text):
        return Text(shape.y - 0.4, -shape.x + 0.9, shape.text, shape.size, shape.anchor, shape.bold)
    return shape


class Upright(Struct, frozen=True):
    """Draws units downwards in the symbols of an artist."""

    artist: Artist

    def glyphs(self, unit: Unit) -> list[Glyph]:
        return [self.artist.symbols.glyph(lane.glyph) for lane in unit.lanes if lane.glyph]

    def height(self, unit: Unit) -> float:
        """From the upper pins to the lower ones."""
        match unit.form:
            case Form.LANES:
                return 2 * _LEAD + max(glyph.width for glyph in self.glyphs(unit))
            case Form.FRAME:
                lower = any(lane.right is not None for lane in unit.lanes)
                return 2 * MODULE + 4.0 + (_EMBLEM_HEIGHT if unit.emblem else 1.0) + (3.5 if lower else 0.0)
            case Form.CIRCLE:
                return 2 * _LEAD + 2 * _RADIUS
        return 2.0

    def left(self, unit: Unit) -> float:
        """How far the body reaches to the left of the first lane."""
        match unit.form:
            case Form.LANES:
                return _OPERATOR + _OPERATOR_REACH if unit.actuator and unit.linked else _BLADE
            case Form.FRAME:
                return _FRAME_SIDE + 0.6
            case Form.CIRCLE:
                return _RADIUS + 0.6
        return 1.2

    def right(self, unit: Unit, lane: int) -> float:
        """How far body and markings reach to the right of a lane."""
        words = max(text_width(marking(unit.lanes[lane], side)) for side in (0, 1))
        match unit.form:
            case Form.LANES:
                return words + 1.2
            case Form.FRAME:
                return max(_FRAME_SIDE, words / 2 + 1.0)
            case Form.CIRCLE:
                return max(_RADIUS if lane == len(unit.lanes) - 1 else 0.0, words + 1.2)
        return text_width(point_text(unit.lanes[lane])) + 1.8

    def draw(self, unit: Unit, xs: Sequence[float], top: float, bottom: float, pens: Sequence[Pens]) -> Drawn:
        """The unit with its lanes at `xs`, its upper pins at `top` and its lower ones at `bottom`."""
        match unit.form:
            case Form.LANES:
                return self._lanes(unit, xs, top, pens)
            case Form.FRAME:
                return self._frame(unit, xs, top, pens)
            case Form.CIRCLE:
                return self._circle(unit, xs, top, pens)
        return self._points(unit, xs, top, bottom, pens)

    def _lanes(self, unit: Unit, xs: Sequence[float], top: float, pens: Sequence[Pens]) -> Drawn:
        body, bottom = top + _LEAD, top + self.height(unit)
        shapes: list[Shape] = []
        for lane, x, (upper, lower) in zip(unit.lanes, xs, pens, strict=True):
            if not lane.glyph:
                inside = xs[0] + self.glyphs(unit)[0].above
                shapes.append(_lead(upper, lane, 0, (x, top), (x, body + 5.0), (inside, body + 5.0)))
                continue
            glyph = self.artist.symbols.glyph(lane.glyph)
            shapes.append(_lead(upper, lane, 0, (x, top), (x, body + glyph.left)))
            shapes.append(_lead(lower, lane, 1, (x, body + glyph.right), (x, bottom)))
            shapes += moved_all([_turned(one) for one in self.artist.glyph_shapes(lane, glyph)], x, body)
        for lane, x in zip(unit.lanes, xs, strict=True):
            shapes += [Text(x + 0.8, top + 2.3, marking(lane, 0))] if marking(lane, 0) else []
            shapes += [Text(x + 0.8, bottom - 0.5, marking(lane, 1))] if marking(lane, 1) else []
        shapes += self._link(unit, xs, body)
        return Drawn(tuple(shapes), Box(xs[0] - _BLADE, body + 2.0, xs[-1] + 1.5, bottom - _LEAD - 2.0))

    def _link(self, unit: Unit, xs: Sequence[float], body: float) -> list[Shape]:
        drawn = [
            (self.artist.symbols.glyph(lane.glyph), x) for lane, x in zip(unit.lanes, xs, strict=True) if lane.glyph
        ]
        (first, left), (last, right) = drawn[0], drawn[-1]
        if not unit.linked or first.link_x == 0.0:
            return []
        y, end = body + first.link_x, right - last.link_y
        if not unit.actuator:
            return [stroke((left - first.link_y, y), (end, y), pen=Pen.LINK)] if len(drawn) > 1 else []
        start = left - _OPERATOR
        sign = moved_all([_laid(shape) for shape in self.artist.symbols.actuator(unit.actuator)], start, y)
        return [*sign, stroke((start, y), (end, y), pen=Pen.LINK)]

    def _frame(self, unit: Unit, xs: Sequence[float], top: float, pens: Sequence[Pens]) -> Drawn:
        bottom = top + self.height(unit)
        body = Box(xs[0] - _FRAME_SIDE, top + _EDGE, max(xs[-1], xs[0]) + _FRAME_SIDE, bottom - _EDGE)
        shapes: list[Shape] = [rectangle(body)]
        for lane, x, (upper, lower) in zip(unit.lanes, xs, pens, strict=True):
            if is_shield(lane):
                continue
            if lane.left is not None:
                shapes.append(_lead(upper, lane, 0, (x, top), (x, body.y1)))
                shapes.append(Text(x, body.y1 + 3.0, marking(lane, 0), anchor="middle"))
            if lane.right is not None:
                shapes.append(_lead(lower, lane, 1, (x, body.y2), (x, bottom)))
                shapes.append(Text(x, body.y2 - 1.0, marking(lane, 1), anchor="middle"))
        if unit.emblem:
            middle = body.y1 + 3.8 + _EMBLEM_HEIGHT / 2
            shapes += moved_all(self.artist.symbols.emblem(unit.emblem), (body.x1 + body.x2) / 2, middle)
        return Drawn(tuple(shapes), body)

    def _circle(self, unit: Unit, xs: Sequence[float], top: float, pens: Sequence[Pens]) -> Drawn:
        """A machine between its lanes: those above it lead in, those that leave it do so below them."""
        bottom, y = top + self.height(unit), top + _LEAD + _RADIUS
        over = [x for lane, x in zip(unit.lanes, xs, strict=True) if lane.left is not None]
        middle = (over[0] + over[-1]) / 2
        shapes: list[Shape] = [Oval(middle, y, _RADIUS, _RADIUS)]
        shapes += moved_all(self.artist.symbols.emblem(unit.emblem), middle, y)
        for lane, x, pen in zip(unit.lanes, xs, pens, strict=True):
            side = 0 if lane.left is not None else 1
            start, level = (top, y - 1.5) if side == 0 else (bottom, y + 5.5)
            nearer = [
                each for each in xs if (each - middle) * (x - middle) > 0 and abs(each - middle) < abs(x - middle)
            ]
            level += (1.5 if side == 0 else -1.7) * len(nearer)
            shapes.append(_lead(pen[side], lane, side, *_into(x, start, level, middle, y)))
            shapes.append(Text(x + 0.8, start + (2.3 if side == 0 else -0.5), marking(lane, side)))
        return Drawn(tuple(shapes), Box(middle - _RADIUS, y - _RADIUS, middle + _RADIUS, y + _RADIUS))

    def _points(self, unit: Unit, xs: Sequence[float], top: float, bottom: float, pens: Sequence[Pens]) -> Drawn:
        shapes: list[Shape] = []
        for n, (lane, x) in enumerate(zip(unit.lanes, xs, strict=True)):
            shapes.append(Oval(x, top + 1.0, 1.0, 1.0, of=named(lane.left) if lane.left else ""))
            shapes.append(Text(x + 1.0, top - 0.5, point_text(lane)))
            if n and unit.joined:
                shapes.append(_lead(Pen.SYMBOL, lane, 0, (xs[n - 1] + 1.0, top + 1.0), (x - 1.0, top + 1.0)))
            if pens[n][1] and bottom > top + 2.0:
                shapes.append(_lead(pens[n][1], lane, 1, (x, top + 2.0), (x, bottom)))
        return Drawn(tuple(shapes), Box(xs[0] - 1.0, top, xs[-1] + 1.0, top + 2.0))


def _into(x: float, start: float, level: float, middle: float, y: float) -> list[Point]:
    """From a pin into a circle: straight where it stands over it, else round a corner at its side."""
    away = abs(x - middle)
    if away <= 0.75 * _RADIUS:
        edge = (_RADIUS**2 - away**2) ** 0.5
        return [(x, start), (x, round(y - edge if start < y else y + edge, 3))]
    edge = max(_RADIUS**2 - (level - y) ** 2, 0.0) ** 0.5
    return [(x, start), (x, level), (round(middle + (edge if x > middle else -edge), 3), level)]


def _lead(pen: Pen | None, lane: Lane, side: int, *points: Point) -> Line:
    """The line of a pin, thin where no wire is."""
    node = lane.left if side == 0 else lane.right
    return Line(points, pen or Pen.WIRE, of=named(node) if node else "")
