"""The cabinet to scale from its front and side, its ducts, and which part is where; and what is missing for more."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.design.design import Design
from wiring.drawing.columns_of_text import CHAR, Column
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import TEXT, Box, Group, Line, Pen, Shape, Text, rectangle, shortened, text_width
from wiring.drawing.symbols.glyph import stroke
from wiring.parts.passive import Metalwork
from wiring.plan.conductors import Route

#: Scales of ISO 5455 for reduction, from memory.
_SCALES = (1, 2, 5, 10, 20, 50, 100)
_PLACES = {"cabinet": "In the cabinet", "door": "On the door", "machine": "On the machine", "outside": "Outside"}
_BOX_HEIGHT, _GAP = 5.0, 1.5
_DIMENSION = 7.0


def _scale(width_mm: float, height_mm: float, room: Box) -> int:
    fits = (n for n in _SCALES if width_mm / n <= room.width and height_mm / n <= room.height)
    return next(fits, _SCALES[-1])


def _dimension(x1: float, x2: float, y: float, text: str) -> list[Shape]:
    """A horizontal dimension below a view."""
    middle = (x1 + x2) / 2
    ends = [stroke((x, y - 1.5), (x, y + 1.5), pen=Pen.HAIR) for x in (x1, x2)]
    return [stroke((x1, y), (x2, y), pen=Pen.HAIR), *ends, Text(middle, y + 3.6, text, TEXT, "middle")]


def _upright_dimension(x: float, y1: float, y2: float, text: str) -> list[Shape]:
    ends = [stroke((x - 1.5, y), (x + 1.5, y), pen=Pen.HAIR) for y in (y1, y2)]
    return [stroke((x, y1), (x, y2), pen=Pen.HAIR), *ends, Text(x + 2.5, (y1 + y2) / 2 + 0.9, text)]


def _duct_of(design: Design, ducts: Sequence[str]) -> dict[str, str]:
    """The duct in which most conductors of each part lie."""
    counts: dict[str, dict[str, int]] = {}
    for conductor in design.circuit.conductors:
        if conductor.route is not None and conductor.route in ducts:
            for part, _ in conductor.ends:
                own = counts.setdefault(part, {})
                own[conductor.route] = own.get(conductor.route, 0) + 1
    return {part: min(own, key=lambda name: (-own[name], name)) for part, own in counts.items()}


def _part_boxes(names: Sequence[str], band: Box) -> list[Shape]:
    """Dashed boxes with the designations of parts, in rows; a last line says how many more there are."""
    shapes: list[Shape] = []
    x, y = band.x1 + _GAP, band.y1 + _GAP
    for n, name in enumerate(names):
        text = shortened(name, 12)
        width = text_width(text) + 2.0
        if x + width + _GAP > band.x2:
            x, y = band.x1 + _GAP, y + _BOX_HEIGHT + _GAP
        if y + 2 * _BOX_HEIGHT > band.y2 and n < len(names) - 1:
            more = f"and {len(names) - n} more"
            if y + _BOX_HEIGHT <= band.y2 and text_width(more) < band.width:
                shapes.append(Text(band.x1 + _GAP, y + 3.4, more))
            return shapes
        if y + _BOX_HEIGHT <= band.y2 and x + width <= band.x2:
            shapes.append(rectangle(Box(x, y, x + width, y + _BOX_HEIGHT), Pen.LINK))
            shapes.append(Text(x + 1.0, y + 3.4, text))
        x += width + _GAP
    return shapes


def _inside(design: Design, view: Box, scale: int, ducts: dict[str, Route]) -> list[Shape]:
    """Ducts across the cabinet, as high as they are wide, with the parts that are wired over each above it."""
    shapes: list[Shape] = []
    heights = {name: route.size.width * 1000 / scale for name, route in ducts.items() if route.size}
    own = _duct_of(design, list(heights))
    cabinet = [
        name
        for name, part in design.parts.items()
        if part.data.at == "cabinet" and not isinstance(part.data, Metalwork)
    ]
    rest = [name for name in cabinet if name not in own]
    bands = [(name, [part for part in cabinet if own.get(part) == name]) for name in heights]
    bands += [("", rest)] if rest or not bands else []
    free = view.height - sum(heights.values())
    if free <= 0:
        return [Text(view.x1 + 2.0, view.y1 + 5.0, "the ducts are higher than the cabinet")]
    step, y = free / len(bands), view.y1
    for name, parts in bands:
        shapes += _part_boxes(parts, Box(view.x1, y, view.x2, y + step))
        y += step
        if name:
            shapes += _duct(name, Box(view.x1, y, view.x2, y + heights[name]))
            y += heights[name]
    return shapes


def _duct(name: str, box: Box) -> list[Shape]:
    shapes: list[Shape] = [rectangle(box, Pen.SYMBOL)]
    if box.height > 3.4:
        shapes.append(Text(box.x1 + 2.0, (box.y1 + box.y2) / 2 + 0.9, shortened(name, int(box.width / CHAR) - 4)))
    return shapes


def _missing(design: Design, ducts: dict[str, Route]) -> list[str]:
    enclosure = design.plan.enclosure
    found = []
    if enclosure is None or enclosure.size is None:
        found.append("The size of the cabinet (enclosure: {size: …}): no view to scale.")
    unsized = [name for name, route in ducts.items() if route.size is None]
    if unsized:
        found.append(f"The size of {', '.join(unsized)} (routes: {{size: …}}): not drawn.")
    if not ducts:
        found.append("Ducts in the cabinet (routes: {kind: duct}): none drawn.")
    found.append(
        "Outer sizes and mounting places of the parts, for which a plan has no entry: dashed boxes are not to scale."
    )
    found.append("Places and lengths of the ducts: drawn to their width, across the cabinet, by their names.")
    return found


def _lists(design: Design, column: Column, ducts: dict[str, Route]) -> None:
    for place, heading in _PLACES.items():
        names = [name for name, part in design.parts.items() if part.data.at == place]
        if names:
            column.heading(heading)
            column.line(", ".join(names))
    apart = [
        f"{name} at least {distance * 1000:g} mm from {other}"
        for name, route in design.plan.routes.items()
        for other, distance in sorted(route.apart.items())
    ]
    if apart:
        column.heading("Keep apart")
        for text in apart:
            column.line(text)
    column.heading("Not given")
    for text in _missing(design, ducts):
        column.line(text)


def enclosure_groups(design: Design, paper: Paper) -> list[Group]:
    """What stands on the sheet of the enclosure."""
    area = paper.area
    enclosure = design.plan.enclosure
    ducts = {name: r for name, r in design.plan.routes.items() if r.kind == "duct" and r.at == "cabinet"}
    split = area.x1 + area.width * (0.55 if paper.upright else 0.62)
    column = Column(Box(split + 4.0, area.y1, area.x2, area.y2))
    _lists(design, column, ducts)
    shapes: list[Shape] = list(column.shapes)
    if enclosure is not None and enclosure.size is not None:
        size = enclosure.size
        width, height, depth = (value * 1000 for value in (size.width, size.height, size.depth))
        room = Box(area.x1, area.y1 + 6.0, split - 26.0, area.y2 - 14.0)
        scale = _scale(width + depth + 8.0, height, room)
        view = Box(room.x1, room.y1, room.x1 + width / scale, room.y1 + height / scale)
        side = Box(view.x2 + 24.0, view.y1, view.x2 + 24.0 + depth / scale, view.y2)
        shapes.append(Text(room.x1, area.y1 + 2.0, f"Scale 1:{scale}", bold=True))
        shapes += [rectangle(view, Pen.FRAME), rectangle(side, Pen.FRAME)]
        shapes += _dimension(view.x1, view.x2, view.y2 + 4.0, f"{width:g} mm")
        shapes += _dimension(side.x1, side.x2, view.y2 + 4.0, f"{depth:g} mm")
        shapes += _upright_dimension(view.x2 + 4.0, view.y1, view.y2, f"{height:g} mm")
        shapes.append(Line(((side.x1 + 1.2, side.y1), (side.x1 + 1.2, side.y2)), Pen.HAIR))
        shapes += _inside(design, view, scale, ducts)
    return [Group("enclosure", "", tuple(shapes))]
