"""The shapes of a unit. x = 0 is its left pins, x = width its right pins; y is that of its lanes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import ceil
from typing import TypeGuard

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Node, named
from wiring.drawing.grid import PITCH
from wiring.drawing.labels import MOST_NOTE, mark_text
from wiring.drawing.shapes import Box, Line, Oval, Pen, Point, Shape, Text, moved_all, rectangle, shortened, text_width
from wiring.drawing.symbols import SymbolSet
from wiring.drawing.symbols.glyph import Glyph, stroke
from wiring.drawing.units import Form, Lane, Unit

#: The strokes of the wires at the left and right of a lane, None where there is none.
Pens = tuple[Pen | None, Pen | None]
_GAP = 1.0
_STUB = 2.5
_EMBLEM = 7.0
_POINT = 1.0
#: How far a body may reach below its last row: text of the row below begins 2.9 mm above that row.
_CLEAR_BELOW = 2.0
_ACTUATOR_Y = -5.2
_SHIELD = ".shield"
#: A circle that would become larger than this is drawn as a frame.
_LARGEST_RADIUS = 15.0


def marking(lane: Lane, side: int) -> str:
    """The marking of the terminal at one side of a lane."""
    node = lane.left if side == 0 else lane.right
    return "" if node is None or node[1] == _SHIELD else mark_text(node[1])


def is_shield(lane: Lane) -> bool:
    """Whether the lane is the tap of a cable shield."""
    return any(node is not None and node[1] == _SHIELD for node in (lane.left, lane.right))


def _widest(unit: Unit, side: int) -> float:
    return max((text_width(marking(lane, side)) for lane in unit.lanes), default=0.0)


class Drawn(Struct, frozen=True):
    """The shapes of a unit and the box of its body, for the space it takes."""

    shapes: tuple[Shape, ...]
    body: Box


class Artist(Struct, frozen=True):
    """Draws units in one set of symbols. With `paths`, the contacts and poles by their two terminals, every moving
    piece is there in both positions, each saying in which it is seen; without, as paper shows it."""

    symbols: SymbolSet
    paths: Mapping[frozenset[Node], str] | None = None

    def width(self, unit: Unit) -> float:
        """Distance from the left pins to the right pins."""
        match unit.form:
            case Form.LANES:
                glyph = max(self.symbols.glyph(lane.glyph).width for lane in unit.lanes if lane.glyph)
                return self._stub(unit, 0) + glyph + self._stub(unit, 1)
            case Form.CHANGE_OVER:
                return self._stub(unit, 0) + 10.0 + self._stub(unit, 1)
            case Form.FRAME:
                return 2 * _STUB + self._inner(unit)
            case Form.CIRCLE:
                return self._stub(unit, 0) + 2 * self._radius(unit)
            case Form.POINTS:
                return (
                    2 * _POINT + _GAP + max(text_width(point_text(lane)) for lane in unit.lanes if not is_shield(lane))
                )
            case Form.BOND:
                return self._bond_stub(unit) + 5.4 + _GAP + text_width(bond_text(unit))

    def tail(self, unit: Unit) -> int:
        """Rows that the body takes below its last lane."""
        if unit.form is Form.LANES and unit.lanes[-1].glyph:
            return 1 if self.symbols.glyph(unit.lanes[-1].glyph).below > _CLEAR_BELOW else 0
        if unit.form is Form.CIRCLE:
            below = 2 * self._radius(unit) - 2.0 - (len(unit.lanes) - 1) * PITCH
            return max(0, ceil((below - _CLEAR_BELOW) / PITCH))
        if unit.form is Form.FRAME:
            return 1 if unit.emblem and len(unit.lanes) == 1 else 0
        return 0

    def _stub(self, unit: Unit, side: int) -> float:
        width = _widest(unit, side)
        return max(_STUB, width + 1.2) if width else 1.0

    def _bond_stub(self, unit: Unit) -> float:
        return max(_widest(unit, 0), _widest(unit, 1)) + 1.6

    def _inner(self, unit: Unit) -> float:
        words = _widest(unit, 0) + _widest(unit, 1)
        gaps = 3 * _GAP + (_EMBLEM + _GAP if unit.emblem else 2.0)
        return max(12.5, words + gaps)

    def _radius(self, unit: Unit) -> float:
        count = max((n + 1 for n, lane in enumerate(unit.lanes) if not is_shield(lane)), default=1)
        return min(_LARGEST_RADIUS, max(5.0, (count - 1) * PITCH / 2 + 2.0))

    def draw(self, unit: Unit, ys: Sequence[float], pens: Sequence[Pens]) -> Drawn:
        """The unit with its lanes at `ys`; `pens` are those of the wires at the left and right of each lane."""
        match unit.form:
            case Form.LANES:
                return self._lanes(unit, ys, pens)
            case Form.CHANGE_OVER:
                return self._change_over(unit, ys, pens)
            case Form.FRAME:
                return self._frame(unit, ys, pens)
            case Form.CIRCLE:
                return self._circle(unit, ys, pens)
            case Form.POINTS:
                return self._points(unit, ys, pens)
            case Form.BOND:
                return self._bond(unit, ys[0], pens[0])

    def _marks(self, unit: Unit, ys: Sequence[float]) -> list[Shape]:
        """Markings above the line, outside the body."""
        width = self.width(unit)
        found: list[Shape] = []
        for lane, y in zip(unit.lanes, ys, strict=True):
            if marking(lane, 0):
                found.append(Text(0.4, y - 1.0, marking(lane, 0)))
            if marking(lane, 1):
                found.append(Text(width - 0.4, y - 1.0, marking(lane, 1), anchor="end"))
        return found

    def _lanes(self, unit: Unit, ys: Sequence[float], pens: Sequence[Pens]) -> Drawn:
        left, width = self._stub(unit, 0), self.width(unit)
        shapes: list[Shape] = []
        for lane, y, (pen_left, pen_right) in zip(unit.lanes, ys, pens, strict=True):
            if is_shield(lane):
                continue
            if not lane.glyph:
                up = ys[0] + self.symbols.glyph(unit.lanes[0].glyph).below
                shapes.append(_line(pen_left, lane.left, (0.0, y), (left + 5.0, y), (left + 5.0, up)))
                continue
            glyph = self.symbols.glyph(lane.glyph)
            shapes.append(_line(pen_left, lane.left, (0.0, y), (left + glyph.left, y)))
            shapes.append(_line(pen_right, lane.right, (left + glyph.right, y), (width, y)))
            shapes += moved_all(self.glyph_shapes(lane, glyph), left, y)
        shapes += self._link(unit, ys, left) + self._marks(unit, ys)
        above = max((self.symbols.glyph(lane.glyph).above for lane in unit.lanes if lane.glyph), default=0.0)
        below = max((self.symbols.glyph(lane.glyph).below for lane in unit.lanes if lane.glyph), default=0.0)
        last = max(y for lane, y in zip(unit.lanes, ys, strict=True) if not is_shield(lane))
        return Drawn(tuple(shapes), Box(left, ys[0] - above, width - self._stub(unit, 1), last + below))

    def glyph_shapes(self, lane: Lane, glyph: Glyph) -> tuple[Shape, ...]:
        path = self._path(lane.left, lane.right)
        return (*glyph.still, *_seen(path, glyph.open, glyph.closed)) if path else glyph.shapes

    def _path(self, a: Node | None, b: Node | None) -> str:
        """The contact or pole between two terminals, where its positions are drawn."""
        return self.paths.get(frozenset((a, b)), "") if self.paths and a and b else ""

    def _link(self, unit: Unit, ys: Sequence[float], left: float) -> list[Shape]:
        glyphs = [(self.symbols.glyph(lane.glyph), y) for lane, y in zip(unit.lanes, ys, strict=True) if lane.glyph]
        first, last = glyphs[0], glyphs[-1]
        if not unit.linked or first[0].link_x == 0.0:
            return []
        x = left + first[0].link_x
        bottom = last[1] + last[0].link_y
        if not unit.actuator:
            return [stroke((x, first[1] + first[0].link_y), (x, bottom), pen=Pen.LINK)] if len(glyphs) > 1 else []
        top = first[1] + _ACTUATOR_Y
        sign = moved_all(self.symbols.actuator(unit.actuator), x, top)
        return [*sign, stroke((x, top), (x, bottom), pen=Pen.LINK)]

    def _change_over(self, unit: Unit, ys: Sequence[float], pens: Sequence[Pens]) -> Drawn:
        left, width = self._stub(unit, 0), self.width(unit)
        make, rest = ys[0], ys[-1]
        fixed = left + 7.5
        common, upper, lower = unit.lanes[-1].left, unit.lanes[0].right, unit.lanes[-1].right
        made, broken = self._path(common, upper), self._path(common, lower)
        blade = stroke((left + 2.5, rest), (fixed + 0.6, rest - 2.3))
        across = stroke((left + 2.5, rest), (fixed, make + 1.2))
        shapes: list[Shape] = [
            _line(pens[-1][0], common, (0.0, rest), (left + 2.5, rest)),
            _line(pens[0][1], upper, (fixed, make), (width, make)),
            _line(pens[-1][1], lower, (fixed, rest), (width, rest)),
            Line(((fixed, make), (fixed, make + 1.2)), of=named(upper) if upper else ""),
            Line(((fixed, rest), (fixed, rest - 2.2)), of=named(lower) if lower else ""),
            *(_seen(made, (), (across,)) if made else ()),
            *(_seen(broken, (), (blade,)) if broken else (blade,)),
            *self._marks(unit, ys),
        ]
        return Drawn(tuple(shapes), Box(left + 2.5, make, fixed, rest))

    def _frame(self, unit: Unit, ys: Sequence[float], pens: Sequence[Pens]) -> Drawn:
        width = self.width(unit)
        taps = [is_shield(lane) for lane in unit.lanes]
        inside = [y for y, tap in zip(ys, taps, strict=True) if not tap] or list(ys)
        bottom = inside[-1] + (5.1 if self.tail(unit) else _CLEAR_BELOW)
        body = Box(_STUB, inside[0] - 2.9, width - _STUB, bottom)
        shapes: list[Shape] = [rectangle(body)]
        for lane, y, (left, right), tap in zip(unit.lanes, ys, pens, taps, strict=True):
            if tap:
                continue
            if lane.left is not None:
                shapes.append(_line(left, lane.left, (0.0, y), (_STUB, y)))
                shapes.append(Text(_STUB + _GAP, y + 0.9, marking(lane, 0)))
            if lane.right is not None:
                shapes.append(_line(right, lane.right, (width - _STUB, y), (width, y)))
                shapes.append(Text(width - _STUB - _GAP, y + 0.9, marking(lane, 1), anchor="end"))
        if unit.emblem:
            left_words, right_words = _widest(unit, 0), _widest(unit, 1)
            x = (body.x1 + _GAP + left_words + body.x2 - _GAP - right_words) / 2
            shapes += moved_all(self.symbols.emblem(unit.emblem), x, (body.y1 + body.y2) / 2)
        return Drawn(tuple(shapes), body)

    def _circle(self, unit: Unit, ys: Sequence[float], pens: Sequence[Pens]) -> Drawn:
        radius = self._radius(unit)
        taps = [is_shield(lane) for lane in unit.lanes]
        inside = [y for y, tap in zip(ys, taps, strict=True) if not tap]
        x, y0 = self._stub(unit, 0) + radius, inside[0] - 2.0 + radius
        shapes: list[Shape] = [Oval(x, y0, radius, radius)]
        shapes += moved_all(self.symbols.emblem(unit.emblem), x, y0)
        for lane, y, (pen, _), tap in zip(unit.lanes, ys, pens, taps, strict=True):
            if not tap:
                reach = x - max(radius**2 - (y - y0) ** 2, 0.0) ** 0.5
                shapes.append(_line(pen, lane.left, (0.0, y), (round(reach, 3), y)))
                shapes.append(Text(0.4, y - 1.0, marking(lane, 0)))
        return Drawn(tuple(shapes), Box(x - radius, y0 - radius, x + radius, y0 + radius))

    def _points(self, unit: Unit, ys: Sequence[float], pens: Sequence[Pens]) -> Drawn:
        width = self.width(unit)
        shapes: list[Shape] = []
        if unit.joined:
            bar = _name(unit.lanes[0])
            points = [y for lane, y in zip(unit.lanes, ys, strict=True) if not is_shield(lane)]
            for upper, lower in pairwise(points):
                shapes.append(Line(((_POINT, upper + _POINT), (_POINT, lower - _POINT)), of=bar))
        for lane, y, (_, right) in zip(unit.lanes, ys, pens, strict=True):
            if is_shield(lane):
                continue
            shapes.append(Oval(_POINT, y, _POINT, _POINT, of=_name(lane)))
            if right is not None:
                shapes.append(_line(right, lane.left or lane.right, (2 * _POINT, y), (width, y)))
            shapes.append(Text(2 * _POINT + 0.3, y - 1.0, point_text(lane)))
        return Drawn(tuple(shapes), Box(0.0, ys[0] - _POINT, 2 * _POINT, ys[-1] + _POINT))

    def _bond(self, unit: Unit, y: float, pens: Pens) -> Drawn:
        lane, width = unit.lanes[0], self.width(unit)
        stub, words = self._bond_stub(unit), bond_text(unit)
        sign = self.symbols.frame() if unit.emblem == "frame" else self.symbols.earth()
        if unit.emblem == "screen":
            sign = (Oval(2.6, 0.0, 1.2, 2.0, Pen.LINK), stroke((0.0, 0.0), (1.4, 0.0)))
        if lane.left is not None:
            shapes = [_line(pens[0], lane.left, (0.0, y), (stub, y)), *moved_all(sign, stub, y)]
            shapes.append(Text(stub + 5.4 + _GAP, y + 0.9, words))
            shapes.append(Text(0.4, y - 1.0, marking(lane, 0)))
            return Drawn(tuple(shapes), Box(stub, y - 2.2, stub + 5.4, y + 2.2))
        at = width - stub
        shapes = [_line(pens[1], lane.right, (at, y), (width, y)), *_mirrored(sign, at, y)]
        shapes.append(Text(at - 5.4 - _GAP, y + 0.9, words, anchor="end"))
        shapes.append(Text(width - 0.4, y - 1.0, marking(lane, 1), anchor="end"))
        return Drawn(tuple(shapes), Box(at - 5.4, y - 2.2, at, y + 2.2))


def _line(pen: Pen | None, node: Node | None, *points: Point) -> Line:
    """The stub of a pin, thin where no wire is."""
    return Line(points, pen or Pen.WIRE, of=named(node) if node else "")


def _name(lane: Lane) -> str:
    node = lane.left or lane.right
    return named(node) if node else ""


def _seen(path: str, open: Sequence[Shape], closed: Sequence[Shape]) -> list[Shape]:
    """The moving pieces of a contact, each with the position in which it is seen."""
    both = (("open", open), ("closed", closed))
    return [replace(shape, when=f"{path} {word}") for word, shapes in both for shape in shapes if _is_stroke(shape)]


def _is_stroke(shape: Shape) -> TypeGuard[Line | Oval]:
    return isinstance(shape, Line | Oval)


def _mirrored(shapes: Sequence[Shape], x: float, y: float) -> list[Shape]:
    found: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Line):
            points = tuple((x - px, y + py) for px, py in shape.points)
            found.append(Line(points, shape.pen, shape.closed, shape.filled))
        elif isinstance(shape, Oval):
            found.append(Oval(x - shape.x, y + shape.y, shape.rx, shape.ry, shape.pen, shape.filled))
    return found


def point_text(lane: Lane) -> str:
    """A terminal point with its strip: X1:2."""
    node = lane.left or lane.right
    return f"{mark_text(node[0])}:{mark_text(node[1])}" if node else ""


def bond_text(unit: Unit) -> str:
    """The device behind a protective pin."""
    return shortened(" ".join((unit.part, *unit.notes)), MOST_NOTE)
