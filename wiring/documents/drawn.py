"""The drawing as documents use it: its sheets, and the place of every conductor end on them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from wiring.circuit.model import named
from wiring.design.design import Design
from wiring.documents.ends import Ends
from wiring.drawing.draw import draw
from wiring.drawing.paper import PAPERS, Paper
from wiring.drawing.shapes import Line, Mark, Point, Sheet
from wiring.drawing.svg import svg_of
from wiring.findings import Report

#: Characters that XML 1.0 does not allow in any form, and those that turn the direction of text around.
_UNSAFE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)

_Spot = tuple[int, str, float, float]


def usual_paper(design: Design) -> Paper:
    """The paper of the sheets in the builder's part of the world."""
    return PAPERS["A3" if design.plan.rulebook == "iec" else "tabloid"]


def sheets_of(design: Design, report: Report) -> tuple[Sheet, ...]:
    """Every sheet of the drawing, with the findings of the report marked; documents list them in full themselves."""
    return draw(design, report, usual_paper(design), lists_findings=False)


def sheet_svg(sheet: Sheet) -> str:
    """The sheet as an SVG element, without the declaration of a file; names in it are as `svg_safe` gives them."""
    text = svg_of(sheet)
    return svg_safe(text[text.index("<svg") :])


def svg_safe(text: str) -> str:
    """The text with a sign of replacement for every character that an SVG must not or should not hold."""
    return _UNSAFE.sub("\ufffd", text)


def ends_of(design: Design, sheets: Sequence[Sheet]) -> Ends:
    """Sheet and zone of every conductor end: the pin of its terminal that is nearest to where its line stops."""
    pins, stops = _pins(design, sheets), _line_ends(sheets)
    found = {}
    for conductor in design.circuit.conductors:
        for node in conductor.ends:
            spots = pins.get(named(node), [])
            if spots:
                spot = min(spots, key=lambda spot: (_distance(spot, stops.get(conductor.id, [])), spot))
                found[conductor.id, named(node)] = f"{spot[0]}/{spot[1]}"
    return Ends(found)


def _pins(design: Design, sheets: Sequence[Sheet]) -> dict[str, list[_Spot]]:
    paper = usual_paper(design)
    found: dict[str, list[_Spot]] = {}
    for sheet in sheets:
        for group in sheet.groups:
            for shape in group.shapes if group.kind == "symbol" else ():
                if isinstance(shape, Mark) and shape.node:
                    spot = (sheet.number, paper.zone(shape.x, shape.y), shape.x, shape.y)
                    found.setdefault(shape.node, []).append(spot)
    return found


def _line_ends(sheets: Sequence[Sheet]) -> dict[str, list[tuple[int, Point]]]:
    found: dict[str, list[tuple[int, Point]]] = {}
    for sheet in sheets:
        for group in sheet.groups:
            for shape in group.shapes if group.kind == "wire" else ():
                if isinstance(shape, Line):
                    ends = (shape.points[0], shape.points[-1])
                    found.setdefault(group.id, []).extend((sheet.number, end) for end in ends)
    return found


def _distance(spot: _Spot, ends: Sequence[tuple[int, Point]]) -> float:
    """From a pin to the nearest line end on its sheet [mm]; a sheet that the conductor does not touch is far away."""
    near = [abs(x - spot[2]) + abs(y - spot[3]) for number, (x, y) in ends if number == spot[0]]
    return min(near, default=1e6)
