"""What hangs on the lines of a distribution as shapes: symbols, drops, words, labels, references."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import named
from wiring.drawing.bands import TRIANGLE, Measure, has_heading
from wiring.drawing.block import HungTap, HungUnit, Potential
from wiring.drawing.body import Pens
from wiring.drawing.conductor_words import Places, label_shapes, of_conductor, pen_of
from wiring.drawing.frame import triangle
from wiring.drawing.hanging_rows import words_of
from wiring.drawing.labels import Names, reference_text
from wiring.drawing.pinned import reference_group, symbol_group, thickest_pens
from wiring.drawing.shapes import DESIGNATION, NUMBER, Group, Line, Oval, Pen, Shape, Text, moved_all, text_width
from wiring.drawing.upright import WORD_LINE, Upright
from wiring.drawing.wired import LOWER, UPPER

_REST_DOWN, _FAN = 3.4, 1.25


class HungComposer(Struct, frozen=True):
    """Draws hanging units and the names of lines, shifted by (dx, dy)."""

    measure: Measure
    places: Places
    dx: float
    dy: float

    @property
    def names(self) -> Names:
        return self.measure.names

    def unit(self, hung: HungUnit) -> Iterator[Group]:
        """Everything that belongs to one hanging unit."""
        yield self._symbol(hung)
        yield from self._fans(hung)
        yield from self._words(hung)
        for tap in hung.taps:
            yield from self._tap(tap)

    def potential(self, one: Potential) -> Iterator[Group]:
        """The name of a line, and the reference by which it arrives or goes on."""
        if one.name:
            words = Text(one.x + self.dx, one.y + self.dy, one.name, DESIGNATION, bold=True)
            yield Group("potential", one.name, (words,))
        if one.arriving:
            yield from self._tap(one.arriving)

    def _symbol(self, hung: HungUnit) -> Group:
        artist = Upright(self.measure.artist)
        drawn = artist.draw(hung.unit, hung.xs, hung.top, hung.bottom, self._pens(hung))
        pins = [
            (node, (x + self.dx, y + self.dy))
            for lane, x in zip(hung.unit.lanes, hung.xs, strict=True)
            for node, y in ((lane.left, hung.top), (lane.right, hung.bottom))
            if node is not None
        ]
        return symbol_group(hung.unit, drawn, self.dx, self.dy, pins)

    def _pens(self, hung: HungUnit) -> list[Pens]:
        return thickest_pens(self.names, len(hung.xs), ((tap.end, tap.side, tap.lane) for tap in hung.taps))

    def _fans(self, hung: HungUnit) -> Iterator[Group]:
        """Drops from a line to an upper pin, and the branches of a lower one, with a dot at every branch."""
        pens = self._pens(hung)
        for n, (lane, x) in enumerate(zip(hung.unit.lanes, hung.xs, strict=True)):
            upper = [tap for tap in hung.taps if tap.lane == n and tap.side == UPPER and tap.at[1] != hung.top]
            if upper and lane.left is not None:
                y = upper[0].at[1]
                shapes: list[Shape] = [Line(((x, hung.top), (x, y)), pens[n][0] or Pen.WIRE)]
                shapes += [_dot(x, y)] if len(upper) > 1 else []
                yield self._fan(named(lane.left), shapes)
            here = [tap for tap in hung.taps if tap.lane == n and tap.side == UPPER and tap.at[1] == hung.top]
            if len(here) > 1 and lane.left is not None:
                yield self._fan(named(lane.left), [_dot(x, hung.top)])
            lower = [tap for tap in hung.taps if tap.lane == n and tap.side == LOWER]
            if len(lower) > 1 and lane.right is not None:
                yield self._fan(named(lane.right), _branches(x, hung.bottom, lower, pens[n][1] or Pen.WIRE))

    def _fan(self, node: str, shapes: list[Shape]) -> Group:
        return Group("fan-out", node, moved_all(shapes, self.dx, self.dy), (("node", node),))

    def _words(self, hung: HungUnit) -> Iterator[Group]:
        words = words_of(hung.unit, self.measure)
        x, y = hung.words[0] + self.dx, hung.words[1] + self.dy
        data = (("part", hung.unit.part),)
        shapes: list[Shape] = []
        marks = self.names.marks.get(hung.unit.id, ())
        if has_heading(hung.unit):
            shapes.append(Text(x, y, words.lines[0], DESIGNATION, bold=True))
            start = x + text_width(words.lines[0], DESIGNATION) + 1.5
            for n, line in enumerate(words.lines[1:], 1):
                shapes.append(Text(x, y + n * WORD_LINE, line))
            y += len(words.lines) * WORD_LINE
        else:
            start = x
        for n, mark in enumerate(marks):
            yield triangle(start + n * TRIANGLE, hung.words[1] + self.dy, mark)
        yield Group("words", hung.unit.id, tuple(shapes), data)
        siblings = []
        for n, (label, other) in enumerate(words.siblings):
            sheet, zone = self.places.of_unit(other)
            siblings.append(Text(x, y + n * WORD_LINE, reference_text(str(sheet), zone, label)))
        yield Group("sibling", hung.unit.id, tuple(siblings), data)

    def _tap(self, tap: HungTap) -> Iterator[Group]:
        wire = tap.end[0]
        if tap.label:
            yield from self._label(tap, tap.label[0] + self.dx, tap.label[1] + self.dy)
        if tap.reference:
            (x1, y1), (x2, y2) = tap.at, tap.reference
            points = ((x1 + self.dx, y1 + self.dy), (x2 + self.dx, y2 + self.dy))
            yield Group("wire", wire, (Line(points, pen_of(self.names.conductors[wire])),), of_conductor(wire))
            yield reference_group(self.names, self.places, tap.end, points[1], x2 < x1, tap.level)

    def _label(self, tap: HungTap, x: float, y: float) -> Iterator[Group]:
        wire = tap.end[0]
        label = self.names.label((wire, 0)) if not self.names.label(tap.end).number else self.names.label(tap.end)
        after = label.width if tap.level else text_width(label.rest)
        if tap.level or not label.rest:
            shapes: tuple[Shape, ...] = label_shapes(label, x, y)
        else:
            shapes = (Text(x, y, label.number, NUMBER), Text(x, y + _REST_DOWN, label.rest))
        yield Group("label", wire, shapes, of_conductor(wire))
        for n, mark in enumerate(self.names.marks.get(f"wire {wire}", ()) if tap.end[1] == 0 else ()):
            foot = y if tap.level else y + _REST_DOWN
            yield triangle(x + after + 0.8 + n * TRIANGLE, foot, mark)


def _dot(x: float, y: float) -> Oval:
    return Oval(x, y, 0.55, 0.55, Pen.HAIR, True)


def _branches(x: float, bottom: float, taps: list[HungTap], pen: Pen) -> list[Shape]:
    """From a lower pin to the columns of its wires, with a dot wherever three lines meet."""
    y = bottom + _FAN
    columns = [tap.at[0] for tap in taps]
    shapes: list[Shape] = []
    for tap in taps:
        points = ((x, bottom), tap.at) if tap.at[0] == x else ((x, y), (tap.at[0], y), tap.at)
        shapes.append(Line(points, pen))
    return [*shapes, *(_dot(at, y) for at in columns if at == x or min(columns) < at < max(columns))]
