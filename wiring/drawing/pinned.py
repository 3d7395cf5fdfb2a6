"""A unit and the ends of its conductors on a sheet, whichever way the unit stands: symbol, strokes, reference."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wiring.circuit.model import Node, named
from wiring.drawing.body import Drawn, Pens
from wiring.drawing.conductor_words import Places, of_conductor, pen_of
from wiring.drawing.labels import Names, reference_text
from wiring.drawing.problem import End
from wiring.drawing.shapes import Group, Mark, Pen, Point, Shape, Text, moved_all
from wiring.drawing.svg import number
from wiring.drawing.units import Unit


def thickest_pens(names: Names, lanes: int, taps: Iterable[tuple[End, int, int]]) -> list[Pens]:
    """The thickest conductor at either side of every lane, of `taps` (end, side, lane)."""
    found: list[list[Pen | None]] = [[None, None] for _ in range(lanes)]
    for end, side, lane in taps:
        if found[lane][side] is not Pen.POWER:
            found[lane][side] = pen_of(names.conductors[end[0]])
    return [(first, second) for first, second in found]


def symbol_group(unit: Unit, drawn: Drawn, dx: float, dy: float, pins: Sequence[tuple[Node, Point]]) -> Group:
    """The body of a unit, shifted by (dx, dy), with a mark at the place of each of its terminals."""
    shapes: list[Shape] = list(moved_all(drawn.shapes, dx, dy))
    shapes += (Mark(x, y, named(node)) for node, (x, y) in pins)
    box = drawn.body
    edges = (box.x1 + dx, box.y1 + dy, box.x2 + dx, box.y2 + dy)
    data = (("part", unit.part), ("body", " ".join(number(value) for value in edges)))
    return Group("symbol", unit.id, tuple(shapes), data)


def reference_group(names: Names, places: Places, end: End, at: Point, leftwards: bool, on_line: bool = False) -> Group:
    """Where a conductor goes on that breaks off at a point; `on_line` where it goes on as the line that it is."""
    x, y = at
    sheet, zone = places.of_end((end[0], 1 - end[1]))
    text = reference_text(str(sheet), zone, names.target(end))
    words = Text(x + (-0.8 if leftwards else 0.8), y + 0.75, text, anchor="end" if leftwards else "start")
    data = (*of_conductor(end[0]), ("end", str(end[1])), ("to", f"{sheet}/{zone}"))
    data += (("line", "on"),) if on_line else ()
    return Group("reference", end[0], (words, Mark(x, y, "")), data)
