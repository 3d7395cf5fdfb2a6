"""The sheets of the cabinet: its plate, its door and side, and the lists of what is cut and drilled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wiring.book_words import cut_words
from wiring.cabinet.drilling import cuts_of, drills_of, undrilled
from wiring.cabinet.layout import KeptLayouts
from wiring.cabinet.records import Layout, NoRoom
from wiring.cabinet.study import Study
from wiring.cabinet.walls import wall_area
from wiring.design.design import Design
from wiring.drawing.cabinet_view import (
    View,
    dimensioned,
    door_groups,
    plate_groups,
    scale_for,
    side_groups,
)
from wiring.drawing.cabinet_walls import WALL_WORDS, wall_groups
from wiring.drawing.columns_of_text import LINE, Column
from wiring.drawing.content import Content
from wiring.drawing.cover import CAUTIONS
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import Box, Group, Shape, Text, wrapped

_COLUMN, _DIMENSION = 118.0, 24.0
#: Walls stand beside door and side where that makes them at most so many times smaller than door and side alone.
_SMALLER = 1.7
#: Lines of the lists that are drawn: more holes than this nobody drills by hand.
_MOST_LINES = 800
_PLACES = {"machine": "On the machine", "outside": "Outside"}


def cabinet_contents(design: Design, paper: Paper, kept: KeptLayouts | None = None) -> list[Content]:
    """The sheets of the cabinet in the set of drawings: plate, door and side; else one sheet of words. A layout that is
    `kept` is not made anew."""
    study = Study(design.circuit, kept.lay_out) if kept else Study(design.circuit)
    layout = study.layout
    if layout is None:
        return [Content("Cabinet", "enclosure", (_words_only(design, study, paper),))]
    together = _walls_beside(layout, paper)
    sheets = [_plate_sheet(design, study, layout, paper), _door_sheet(design, layout, paper, together)]
    return [*sheets, *([_wall_sheet(design, layout, paper)] if layout.walls and together is None else [])]


def list_contents(design: Design, layout: Layout, paper: Paper) -> list[Content]:
    """The sheets of what is drilled and cut."""
    lines = list(_lists(design, layout))
    if len(lines) > _MOST_LINES:
        lines = [*lines[:_MOST_LINES], (f"and {len(lines) - _MOST_LINES} lines more", True)]
    area = paper.area
    columns = max(int(area.width // 90.0), 1)
    width = area.width / columns
    sheets: list[list[Shape]] = []
    column: Column | None = None
    number = 0
    for text, bold in lines:
        needed = len(wrapped(text, column.most)) if column is not None else 1
        if column is None or column.y + (needed + 1) * LINE > column.box.y2:
            if column is not None:
                sheets[-1] += column.shapes
            if number % columns == 0:
                sheets.append([])
            x = area.x1 + (number % columns) * width
            column = Column(Box(x, area.y1, x + width - 6.0, area.y2))
            number += 1
        column.line(text, bold=bold)
    if column is not None:
        sheets[-1] += column.shapes
    return [Content("Cabinet: cut and drill", "enclosure", (Group("enclosure", "", tuple(one)),)) for one in sheets]


def _lists(design: Design, layout: Layout) -> Iterable[tuple[str, bool]]:
    book = design.plan.rulebook
    yield "Rails and ducts to cut", True
    for cut in cuts_of(layout):
        yield cut.words(book), False
    for board in layout.boards:
        drills = [one for one in drills_of(layout, design.parts) if one.board == board]
        if drills:
            yield f"Holes of the {board}, from its lower {'rear' if 'wall' in board else 'left'} corner", True
            yield from ((one.words(book), False) for one in drills)
    left = undrilled(layout, design.parts)
    if left:
        yield f"Drill from the part itself: {', '.join(left)}.", True
    yield "Fit rails first: parts cover their screws.", False


def _view_room(paper: Paper) -> Box:
    """What is left for a view beside, or on upright paper above, the column of words."""
    area = paper.area
    if paper.upright:
        return Box(area.x1 + 2.0, area.y1 + 7.0, area.x2 - _DIMENSION, area.y1 + 0.6 * area.height)
    return Box(area.x1 + 2.0, area.y1 + 7.0, area.x2 - _COLUMN - _DIMENSION, area.y2 - 12.0)


def _words_column(paper: Paper, foot: float, book: str) -> Column:
    """Words beside a view, or on upright paper below the `foot` of its dimensions."""
    area = paper.area
    if paper.upright:
        return Column(Box(area.x1, foot + 10.0, area.x2, area.y2), book)
    return Column(Box(area.x2 - _COLUMN, area.y1, area.x2, area.y2), book)


def _plate_sheet(design: Design, study: Study, layout: Layout, paper: Paper) -> Content:
    room = _view_room(paper)
    box = layout.box
    scale = scale_for(box.plate_width, box.plate_height, room)
    view = View(room.x1, room.y1 + box.plate_height / scale, scale)
    holes = {name: bool(design.parts[name].data.holes) for name in layout.plate}
    groups, left = plate_groups(layout, view, holes)
    column = _words_column(paper, view.y, design.plan.rulebook)
    _plate_words(design, study, layout, column, left)
    head = Text(paper.area.x1, paper.area.y1 + 2.5, f"Mounting plate from the front, scale 1:{scale:g}", bold=True)
    groups.append(dimensioned(view, box.plate_width, box.plate_height, "plate", design.plan.rulebook))
    groups.append(Group("enclosure", "words", (head, *column.shapes)))
    return Content("Cabinet: plate", "enclosure", tuple(groups))


def _plate_words(design: Design, study: Study, layout: Layout, column: Column, left: Sequence[str]) -> None:
    column.heading("Rows from above")
    for number, row in enumerate(layout.rows, 1):
        heat = sum(design.inside.parts_w.get(name, 0.0) for name in row)
        column.line(f"{number}: {', '.join(row)} ({heat:.0f} W of heat)")
    bars = [name for name, one in layout.plate.items() if one.outline.mount == "foot"]
    if bars:
        column.line(f"At the foot: {', '.join(bars)}")
    column.heading("How to read")
    column.line("Dashed: drill from the part itself, the plan gives no holes for it.")
    if left:
        column.line(f"Without a name in the picture for want of room: {', '.join(left)}.")
    if layout.mixed:
        column.line("Power and control share rows: rows of their own do not fit on this plate.")
    _standing_words(layout, column)
    for name, why in layout.unplaced.items():
        column.line(f"{name} has no place: {why}.")
    if not study.is_given:
        column.line("Positions are proposed; `wiring cabinet --write` puts them into the plan.")
    _elsewhere(design, column)
    apart = [
        f"{name} at least {distance * 1000:g} mm from {other}"
        for name, route in design.plan.routes.items()
        for other, distance in sorted(route.apart.items())
    ]
    if apart:
        column.heading("Keep apart")
        for text in apart:
            column.line(text)


def _standing_words(layout: Layout, column: Column) -> None:
    asked = [name for name, one in layout.outlines.items() if one.is_allowance]
    typical = [name for name, one in layout.outlines.items() if one.standing != "given" and not one.is_allowance]
    if asked:
        column.line(f"Size not known, 45 x 100 x 110 mm allowed for: {', '.join(asked)} (`size`).")
    if typical:
        column.line(f"Typical sizes, not those of your parts: {', '.join(typical)}.")


def _elsewhere(design: Design, column: Column) -> None:
    for place, heading in _PLACES.items():
        names = [name for name, part in design.parts.items() if part.data.at == place]
        if names:
            column.heading(heading)
            column.line(", ".join(names))


def _door_scale(layout: Layout, paper: Paper) -> float:
    room, box = _view_room(paper), layout.box
    scale = scale_for(box.width + box.depth + _DIMENSION * 2, box.height, room)
    return max(scale, scale_for(box.width + box.depth, box.height, Box(0, 0, room.width - _DIMENSION, room.height)))


def _walls_beside(layout: Layout, paper: Paper) -> float | None:
    """The scale at which door, side and walls stand on one sheet; None where that makes them too small."""
    if not layout.walls or paper.upright:
        return None
    room, box = _view_room(paper), layout.box
    areas = [wall_area(box, wall) for wall in layout.walls]
    width = box.width + box.depth + sum(area.width for area in areas)
    height = max(box.height, *(area.height for area in areas))
    scale = scale_for(width, height, Box(0.0, 0.0, room.width - _DIMENSION * (len(areas) + 1), room.height))
    return scale if scale <= _SMALLER * _door_scale(layout, paper) else None


def _door_sheet(design: Design, layout: Layout, paper: Paper, together: float | None) -> Content:
    """Door and side, with the walls at the scale `together` where they stand beside them."""
    room, box, book = _view_room(paper), layout.box, design.plan.rulebook
    scale = together or _door_scale(layout, paper)
    heights = [wall_area(box, wall).height for wall in layout.walls] if together else []
    foot = room.y1 + max([box.height, *heights]) / scale
    view = View(room.x1, foot, scale)
    side = View(view.x + box.width / scale + _DIMENSION, view.y, scale)
    groups, left = door_groups(layout, view)
    groups += side_groups(layout, side)
    groups.append(dimensioned(view, box.width, box.height, "door", book))
    groups.append(dimensioned(side, box.depth, box.height, "side", book))
    head = [
        Text(view.x, paper.area.y1 + 2.5, f"Door from the front, scale 1:{scale:g}", bold=True),
    ]
    column = _words_column(paper, view.y, book)
    column.heading("Door and side")
    column.line("Thick strokes at an edge are the hinges.")
    column.line("The side is a section, back wall at the left; what hangs on the side walls is dashed.")
    for name in layout.shafts:
        column.line(f"The shaft of {name} goes through the door: its handle is fixed by where {name} stands.")
    if left:
        column.line(f"Without a name in the picture: {', '.join(left)}.")
    if together:
        groups += _walls(design, layout, View(side.x + box.depth / scale + _DIMENSION, foot, scale), column)
    column.heading("Cautions")
    for caution in CAUTIONS[:3]:
        column.line(caution)
    groups.append(Group("enclosure", "words", (*head, *column.shapes)))
    return Content(f"Cabinet: door{', side and walls' if together else ' and side'}", "enclosure", tuple(groups))


def _walls(design: Design, layout: Layout, first: View, column: Column) -> list[Group]:
    """The walls side by side, from the view `first` on, with their words."""
    book, x = design.plan.rulebook, first.x
    groups: list[Group] = []
    column.heading("Walls")
    for wall, placed in layout.walls.items():
        area, view = wall_area(layout.box, wall), View(x, first.y, first.scale)
        groups += wall_groups(layout, wall, view, design.parts)
        groups.append(dimensioned(view, area.width, area.height, wall, book))
        reach = ", ".join(f"{name} {cut_words(one.outline.depth, book)}" for name, one in placed.items())
        column.line(f"{WALL_WORDS[wall]}. Into the cabinet: {reach}.")
        x += area.width / first.scale + _DIMENSION
    column.line("Dashed: drill from the part itself, the plan gives no holes for it.")
    return groups


def _wall_sheet(design: Design, layout: Layout, paper: Paper) -> Content:
    room = _view_room(paper)
    areas = [wall_area(layout.box, wall) for wall in layout.walls]
    width, height = sum(area.width for area in areas), max(area.height for area in areas)
    between = Box(0.0, 0.0, room.width - _DIMENSION * (len(areas) - 1), room.height)
    scale = scale_for(width, height, between)
    foot = room.y1 + height / scale
    column = _words_column(paper, foot, design.plan.rulebook)
    groups = _walls(design, layout, View(room.x1, foot, scale), column)
    head = Text(paper.area.x1, paper.area.y1 + 2.5, f"Walls of the cabinet, scale 1:{scale:g}", bold=True)
    groups.append(Group("enclosure", "words", (head, *column.shapes)))
    return Content("Cabinet: walls", "enclosure", tuple(groups))


def _words_only(design: Design, study: Study, paper: Paper) -> Group:
    column = Column(Box(paper.area.x1, paper.area.y1, paper.area.x2, paper.area.y2), design.plan.rulebook)
    column.heading("No view to scale")
    found = study.found
    if study.is_too_many:
        column.line(f"{study.count} parts stand on the plate: a line of cabinets, and not one.")
    elif isinstance(found, NoRoom):
        column.line(f"The parts do not fit: {found}.")
    else:
        column.line("No usual cabinet holds the parts.")
    if study.smallest is not None:
        column.line(f"The smallest usual cabinet that holds them: {study.smallest.words(design.plan.rulebook)}.")
    inside = [name for name, part in design.parts.items() if part.data.at == "cabinet"]
    door = [name for name, part in design.parts.items() if part.data.at == "door"]
    for heading, names in (("In the cabinet", inside), ("On the door", door)):
        if names:
            column.heading(heading)
            column.line(", ".join(names))
    _elsewhere(design, column)
    return Group("enclosure", "", tuple(column.shapes))
