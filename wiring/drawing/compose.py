"""A page of blocks as shapes: symbols, wires, labels, references, rings, marks of findings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wiring.circuit.model import Node, named
from wiring.drawing.bands import A_LINE, TRIANGLE, Band, Measure, Ring, away_of, has_heading, heading
from wiring.drawing.block import Block, PlacedUnit, Route
from wiring.drawing.body import Pens, is_shield
from wiring.drawing.compose_hung import HungComposer
from wiring.drawing.conductor_words import Places, label_shapes, of_conductor, pen_of
from wiring.drawing.footprint import Footprint, footprint
from wiring.drawing.frame import triangle
from wiring.drawing.grid import PITCH
from wiring.drawing.labels import cable_label, mark_text, reference_text, reference_width, spare_text
from wiring.drawing.pack import Page, Placed
from wiring.drawing.pinned import reference_group, symbol_group, thickest_pens
from wiring.drawing.problem import LEFT, RIGHT, End
from wiring.drawing.shapes import (
    DESIGNATION,
    Group,
    Line,
    Oval,
    Pen,
    Point,
    Shape,
    Text,
    text_width,
)
from wiring.drawing.units import Form, Unit

#: Half the width of a fan, and half the height of a wire's number [mm].
_HALF_FAN, _HALF_NUMBER = 1.25, 1.25


def is_link(route: Route) -> bool:
    """Whether a wire is one upright stroke between terminals of its unit; its words stand beside it."""
    return len(route.points) == 2 and route.points[0][0] == route.points[1][0]


def _outwards(side: int) -> int:
    return -1 if side == LEFT else 1


def pin_x(unit: PlacedUnit, side: int) -> float:
    """The x of the pins at one side of a unit."""
    return unit.x if side == LEFT else unit.x + unit.width


def zone_x(unit: PlacedUnit, side: int, zone: str) -> float:
    """The near edge of a zone of a band: label, ring or reference."""
    band = unit.bands[side]
    before = {"label": band.fan, "ring": band.fan + band.label, "reference": band.fan + band.label + band.ring}
    return pin_x(unit, side) + _outwards(side) * before[zone]


def ring_x(unit: PlacedUnit, side: int) -> float:
    """The middle of the rings at one side of a unit."""
    return zone_x(unit, side, "ring") + _outwards(side) * unit.bands[side].ring / 2


def is_tap(unit: PlacedUnit, lane: int) -> bool:
    """Whether a lane leaves from the ring of a cable rather than from a pin of the unit."""
    return unit.unit.form is not Form.BOND and is_shield(unit.unit.lanes[lane])


def start_x(unit: PlacedUnit, side: int, lane: int) -> float:
    """Where the line of a wire begins: behind the fan, or at the ring of its cable."""
    return ring_x(unit, side) if is_tap(unit, lane) else zone_x(unit, side, "label")


def pin_place(unit: PlacedUnit, side: int, lane: int, row: float) -> Point:
    """Where the terminal of a wire stands, whose line begins at `row`: its pin, or the ring of its cable."""
    if is_tap(unit, lane):
        return ring_x(unit, side), row
    return pin_x(unit, side), unit.ys[lane]


class Composer:
    """Draws the blocks of a page. With `places` None the references are left open."""

    def __init__(self, measure: Measure, places: Places) -> None:
        self.measure, self.names, self.places = measure, measure.names, places

    def page(self, page: Page) -> list[Group]:
        """All groups of a page."""
        return [group for placed in page.placed for group in self.block(placed)]

    def cells(self, block: Block) -> Footprint:
        """The cells that a block takes on a sheet."""
        return footprint(self.block(Placed(block, 0.0, 0.0)))

    def block(self, placed: Placed) -> Iterator[Group]:
        dx, dy = placed.x, placed.y
        joined = {route.wire: route for route in placed.block.routes}
        for unit in placed.block.units:
            yield from self.unit(unit, dx, dy, joined)
        hung = HungComposer(self.measure, self.places, dx, dy)
        for one in placed.block.hung:
            yield from hung.unit(one)
        for potential in placed.block.potentials:
            yield from hung.potential(potential)
        for route in placed.block.routes:
            yield self._wire(route, dx, dy)

    def _wire(self, route: Route, dx: float, dy: float) -> Group:
        conductor = self.names.conductors[route.wire]
        points = tuple((x + dx, y + dy) for x, y in route.points)
        return Group("wire", route.wire, (Line(points, pen_of(conductor)),), of_conductor(route.wire))

    def unit(self, unit: PlacedUnit, dx: float, dy: float, joined: Mapping[str, Route]) -> Iterator[Group]:
        """Everything that belongs to one unit."""
        yield self._symbol(unit, dx, dy)
        yield from self._fans(unit, dx, dy)
        yield from self._rings(unit, dx, dy)
        yield from self._words(unit, dx, dy)
        for end, side, lane, y in unit.taps:
            band = unit.bands[side]
            if end in band.labelled:
                yield from self._end(unit, band, end, side, lane, y, dx, dy, joined)

    def _symbol(self, unit: PlacedUnit, dx: float, dy: float) -> Group:
        drawn = self.measure.artist.draw(unit.unit, unit.ys, self._pens(unit))
        pins: list[tuple[Node, Point]] = []
        for n, (lane, y) in enumerate(zip(unit.unit.lanes, unit.ys, strict=True)):
            for side, node in ((LEFT, lane.left), (RIGHT, lane.right)):
                if node is not None:
                    x = ring_x(unit, side) if is_tap(unit, n) else pin_x(unit, side)
                    pins.append((node, (x + dx, y + dy)))
        return symbol_group(unit.unit, drawn, unit.x + dx, dy, pins)

    def _pens(self, unit: PlacedUnit) -> list[Pens]:
        return thickest_pens(self.names, len(unit.ys), ((end, side, lane) for end, side, lane, _ in unit.taps))

    def _fans(self, unit: PlacedUnit, dx: float, dy: float) -> Iterator[Group]:
        """From a pin to the rows of its wires: one vertical, a dot at every branch."""
        for n, (lane, y) in enumerate(zip(unit.unit.lanes, unit.ys, strict=True)):
            for side, node in ((LEFT, lane.left), (RIGHT, lane.right)):
                fan = unit.bands[side].fan
                rows = [tap[3] for tap in unit.taps if tap[1] == side and tap[2] == n]
                if not fan or node is None or not rows or is_shield(lane):
                    continue
                out = _outwards(side)
                x = pin_x(unit, side)
                pen = self._pens(unit)[n][side] or Pen.WIRE
                shapes: list[Shape] = []
                for row in rows:
                    start = x if row == y else x + out * _HALF_FAN
                    shapes.append(Line(((start + dx, row + dy), (x + out * fan + dx, row + dy)), pen))
                if len(rows) > 1:
                    middle = x + out * _HALF_FAN + dx
                    shapes.append(Line(((middle, rows[0] + dy), (middle, rows[-1] + dy)), pen))
                    shapes += [Oval(middle, row + dy, 0.55, 0.55, Pen.HAIR, True) for row in rows[:-1]]
                yield Group("fan-out", named(node), tuple(shapes), (("node", named(node)),))

    def _ring_rows(self, unit: PlacedUnit, ring: Ring) -> tuple[float, float]:
        rows = [y for end, _, _, y in unit.taps if end in ring.ends]
        return min(rows), max(rows)

    def _shield_lane(self, unit: PlacedUnit, side: int, cable: str) -> float | None:
        for lane, y in zip(unit.unit.lanes, unit.ys, strict=True):
            node = lane.left if side == LEFT else lane.right
            if node is not None and node == (cable, ".shield"):
                return y
        return None

    def _rings(self, unit: PlacedUnit, dx: float, dy: float) -> Iterator[Group]:
        for side in (LEFT, RIGHT):
            x = ring_x(unit, side) + dx
            for ring in unit.bands[side].rings:
                top, bottom = self._ring_rows(unit, ring)
                middle, half = (top + bottom) / 2 + dy, (bottom - top) / 2 + 0.85
                shapes: list[Shape] = [Oval(x, middle, 1.1, half, Pen.HAIR)]
                tap = self._shield_lane(unit, side, ring.cable)
                if ring.cable in self.names.shielded:
                    shapes.append(Oval(x, middle, 1.6, half + 0.3, Pen.LINK))
                above = [self._ring_rows(unit, each)[1] for each in unit.bands[side].rings if each.cable == ring.cable]
                if tap is not None and bottom == max((row for row in above if row < tap), default=bottom):
                    shapes.append(Line(((x, middle + half), (x, tap + dy)), Pen.LINK))
                label = cable_label(self.names.conductors[ring.first[0]])
                shapes.append(Text(x, top + dy - 1.5, label, anchor="middle"))
                conductors = " ".join(dict.fromkeys(end[0] for end in ring.ends))
                yield Group("cable", ring.cable, tuple(shapes), (("cable", ring.cable), ("conductors", conductors)))

    def _words(self, unit: PlacedUnit, dx: float, dy: float) -> Iterator[Group]:
        shapes: list[Shape] = []
        marks = self.names.marks.get(unit.unit.id, ())
        x, top = unit.x + dx, unit.top + dy
        if has_heading(unit.unit):
            behind, below = heading(unit.unit)
            name = mark_text(unit.unit.part)
            shapes.append(Text(x, top + 2.7, name, DESIGNATION, bold=True))
            x += text_width(name, DESIGNATION) + 1.5
            if not unit.unit.main:
                for label, other in self.names.siblings.get(unit.unit.id, ()):
                    shapes.append(Text(x, top + 2.7, self._sibling(label, other)))
                    x += reference_width(label)
            if behind:
                shapes.append(Text(x, top + 2.7, behind))
                x += text_width(behind) + 1.5
            if below:
                shapes.append(Text(unit.x + dx, top + 5.6, below))
            for mark in marks:
                yield triangle(x, top + 2.7, mark)
                x += TRIANGLE
        yield Group("words", unit.unit.id, tuple(shapes), (("part", unit.unit.part),))
        yield from self._footer(unit, dx, dy)

    def _sibling(self, label: str, other: str) -> str:
        sheet, zone = self.places.of_unit(other)
        return reference_text(str(sheet), zone, label)

    def _footer(self, unit: PlacedUnit, dx: float, dy: float) -> Iterator[Group]:
        """Lines below the unit, the last of them on its bottom row."""
        rows = self.measure.footer_rows(unit.unit)
        y = unit.bottom - (rows - 1) * PITCH + dy + 0.4
        shapes: list[Shape] = []
        if unit.unit.id in self.names.contacts:
            yield Group("sibling", unit.unit.id, self._contacts(unit, dx, y), (("part", unit.unit.part),))
            return
        siblings = self.names.siblings.get(unit.unit.id, ()) if self.measure.lists_siblings(unit.unit) else ()
        for n in range(0, len(siblings), A_LINE):
            x = unit.x + dx
            for label, other in siblings[n : n + A_LINE]:
                shapes.append(Text(x, y, self._sibling(label, other)))
                x += reference_width(label) + 1.5
            y += PITCH
        yield Group("sibling", unit.unit.id, tuple(shapes), (("part", unit.unit.part),))
        if not has_heading(unit.unit):
            for n, mark in enumerate(self.names.marks.get(unit.unit.id, ())):
                yield triangle(unit.x + dx + n * TRIANGLE, y, mark)

    def _contacts(self, unit: PlacedUnit, dx: float, y: float) -> tuple[Shape, ...]:
        """The table under a coil: what makes and what breaks, where each stands, the spare ones; below the rest."""
        is_below = False
        makes, breaks = self.measure.contact_columns(unit.unit)
        x = unit.x + dx
        shapes: list[Shape] = [Text(x, y, "make"), Text(x + makes, y, "break")]
        shapes.append(Line(((x, y + 1.0), (x + makes + breaks - 1.5, y + 1.0)), Pen.HAIR))
        shapes.append(Line(((x + makes - 0.9, y - 2.2), (x + makes - 0.9, y + 1.0)), Pen.HAIR))
        for row in self.names.contacts[unit.unit.id]:
            if row[2] and len(shapes) > 3 and not is_below:
                is_below = True
                shapes.append(Line(((x, y + 1.0), (x + makes + breaks - 1.5, y + 1.0)), Pen.HAIR))
            y += PITCH
            for at, contact in zip((x, x + makes, x), row, strict=True):
                if contact is not None:
                    label, other = contact
                    shapes.append(Text(at, y, self._sibling(label, other) if other else spare_text(label)))
        return tuple(shapes)

    def _end(
        self,
        unit: PlacedUnit,
        band: Band,
        end: End,
        side: int,
        lane: int,
        y: float,
        dx: float,
        dy: float,
        joined: Mapping[str, Route],
    ) -> Iterator[Group]:
        """The label of a wire end, and its reference where it leaves."""
        x, line = zone_x(unit, side, "label") + dx, y + dy
        label = self.names.label(end)
        base = line - 0.9
        if end[0] in joined and is_link(joined[end[0]]):
            base = (joined[end[0]].points[0][1] + joined[end[0]].points[1][1]) / 2 + _HALF_NUMBER + dy
        if label.number:
            start = x + away_of(unit.unit) if side == RIGHT else x - away_of(unit.unit) - label.width
            yield Group("label", end[0], label_shapes(label, start, base), of_conductor(end[0]))
        yield from self._wire_marks(unit, end, side, x, base)
        if end[0] not in joined and end not in band.opened:
            yield from self._reference(unit, end, side, lane, line, dx)

    def _wire_marks(self, unit: PlacedUnit, end: End, side: int, x: float, base: float) -> Iterator[Group]:
        if not self.measure.carries_marks(end):
            return
        label = self.names.label(end)
        start = away_of(unit.unit) + label.width + 0.8 if label.number else 0.0
        for n, mark in enumerate(self.names.marks.get(f"wire {end[0]}", ())):
            offset = start + n * TRIANGLE
            yield triangle(x + offset if side == RIGHT else x - offset - TRIANGLE + 0.6, base, mark)

    def _reference(self, unit: PlacedUnit, end: End, side: int, lane: int, line: float, dx: float) -> Iterator[Group]:
        stop = (zone_x(unit, side, "reference") + dx, line)
        points: tuple[Point, Point] = ((start_x(unit, side, lane) + dx, line), stop)
        pen = pen_of(self.names.conductors[end[0]])
        yield Group("wire", end[0], (Line(points, pen),), of_conductor(end[0]))
        if end in self.names.at_ring:
            yield self._at_ring(self.names.at_ring[end], side, stop, pen)
            return
        yield reference_group(self.names, self.places, end, stop, side == LEFT)

    def _at_ring(self, unit: Unit, side: int, stop: Point, pen: Pen) -> Group:
        """The metalwork to which a shield is bonded, where its wire ends."""
        (node,) = unit.nodes
        turned = unit if (unit.lanes[0].left == node) == (side == RIGHT) else unit.flipped()
        drawn = self.measure.artist.draw(turned, (0.0,), ((pen, pen),))
        left = stop[0] - (self.measure.width(unit) if side == LEFT else 0.0)
        return symbol_group(turned, drawn, left, stop[1], [(node, stop)])
