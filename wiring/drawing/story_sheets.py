"""The sheets on which a circuit lies, its conductors thick, one below the other in one file."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from msgspec.structs import replace

from wiring.design.design import Design
from wiring.drawing.draw import Progress, draw
from wiring.drawing.paper import PAPERS
from wiring.drawing.shapes import Group, Line, Pen, Sheet
from wiring.drawing.svg import escape, number, svg_of


def story_drawing(design: Design, conductors: Collection[str], title: str, progress: Progress) -> str:
    """One SVG file with every sheet that shows any of some conductors, those thick; empty where none does."""
    paper = PAPERS["tabloid" if design.plan.rulebook == "na" else "A3"]
    sheets = with_circuit(draw(design, None, paper, progress), conductors)
    return one_below_the_other(sheets, title) if sheets else ""


def with_circuit(sheets: Sequence[Sheet], conductors: Collection[str]) -> list[Sheet]:
    """The sheets that show any of some conductors, with those thick."""
    found = []
    for sheet in sheets:
        if any(_is_on(group, conductors) for group in sheet.groups):
            groups = tuple(_thick(group) if _is_on(group, conductors) else group for group in sheet.groups)
            found.append(replace(sheet, groups=groups))
    return found


def _is_on(group: Group, conductors: Collection[str]) -> bool:
    return group.kind == "wire" and group.id in conductors


def _thick(group: Group) -> Group:
    shapes = tuple(replace(shape, pen=Pen.STORY) if isinstance(shape, Line) else shape for shape in group.shapes)
    return replace(group, shapes=shapes)


def one_below_the_other(sheets: Sequence[Sheet], title: str) -> str:
    """One SVG file in millimetres with every sheet in it."""
    width, height, pieces = max(sheet.width for sheet in sheets), 0.0, []
    for sheet in sheets:
        body = svg_of(sheet).split("\n", 1)[1]
        pieces.append(body.replace("<svg ", f'<svg y="{number(height)}" ', 1).replace('mm"', '"', 2).rstrip())
        height += sheet.height
    size = f'width="{number(width)}mm" height="{number(height)}mm" viewBox="0 0 {number(width)} {number(height)}"'
    inside = "\n".join(pieces)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>\n<title>{escape(title)}</title>\n{inside}\n</svg>\n'
    )
