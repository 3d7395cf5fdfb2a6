"""The cabinet as files: views to scale as SVG or PDF, and the plate at 1:1 on sheets of paper to drill by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from wiring.cabinet.drilling import Drill, drills_of
from wiring.cabinet.records import Area, Layout
from wiring.cabinet.study import Study
from wiring.cabinet.walls import wall_area
from wiring.design.design import Design
from wiring.documents.drawn import usual_paper
from wiring.documents.typeset import typeset
from wiring.drawing.cabinet_view import View, dimensioned, door_groups, plate_groups, side_groups
from wiring.drawing.cabinet_walls import wall_groups
from wiring.drawing.draw import cabinet_sheets
from wiring.drawing.export import compiled
from wiring.drawing.shapes import Group, Pen, Shape, Sheet, Text, rectangle
from wiring.drawing.svg import svg_of
from wiring.drawing.symbols.glyph import stroke
from wiring.parts.base import Part
from wiring.plan.models import PlanFile

#: Scale of the views in one SVG file, and the room around each of them [mm of paper].
_SCALE, _ROOM = 5.0, 30.0
#: The cell of the plate on one sheet of the template, and what is shown around it [mm]; A4 and letter both print it.
TILE, _AROUND = (170.0, 230.0), 5.0
MOST_TILES = 200
_PAPER = {"iec": ("A4", 210.0, 297.0), "na": ("letter", 215.9, 279.4)}
MEASURE = "Measure both scales before drilling: 100 mm each."


def picture(design: Design, study: Study, ending: str) -> bytes | str:
    """Plate, door and side to scale: one drawing as ".svg", or sheets with the lists as ".pdf"."""
    if ending == ".pdf" or study.layout is None:
        sheets = cabinet_sheets(design, usual_paper(design))
        return compiled(sheets, "pdf")[0] if ending == ".pdf" else svg_of(sheets[0])
    return svg_of(views(study.layout, design.parts, design.plan))


def views(layout: Layout, parts: Mapping[str, Part], plan: PlanFile) -> Sheet:
    """Plate, door, side and the walls with parts on them beside each other on one sheet as large as they need."""
    box, book = layout.box, plan.rulebook
    low = _ROOM / 2 + box.height / _SCALE
    plate = View(_ROOM / 2, low, _SCALE)
    door = View(plate.x + box.plate_width / _SCALE + _ROOM, low, _SCALE)
    side = View(door.x + box.width / _SCALE + _ROOM, low, _SCALE)
    holes = {name: bool(parts[name].data.holes) for name in layout.plate}
    groups = [*plate_groups(layout, plate, holes)[0], *door_groups(layout, door)[0], *side_groups(layout, side)]
    groups.append(dimensioned(plate, box.plate_width, box.plate_height, "plate", book))
    groups.append(dimensioned(door, box.width, box.height, "door", book))
    groups.append(dimensioned(side, box.depth, box.height, "side", book))
    words = f"Plate, door and side, scale 1:{_SCALE:g}. Dashed: drill from the part itself."
    groups.append(Group("enclosure", "words", (Text(_ROOM / 2, 8.0, words),)))
    right = side.x + box.depth / _SCALE + _ROOM
    for wall in layout.walls:
        area, view = wall_area(box, wall), View(right, low, _SCALE)
        groups += [*wall_groups(layout, wall, view, parts), dimensioned(view, area.width, area.height, wall, book)]
        groups.append(Group("enclosure", f"{wall} words", (Text(view.x, low - area.height / _SCALE - 2.0, wall),)))
        right = view.x + area.width / _SCALE + _ROOM
    width, height = right, low + _ROOM / 2
    return Sheet(1, f"Cabinet: {plan.machine}", "enclosure", max(width, 150.0), height, tuple(groups))


def template_pdf(layout: Layout, parts: Mapping[str, Part], plan: PlanFile) -> bytes | str:
    """The plate at 1:1 in tiles, only those with a hole in them; or why there is none."""
    drills = [one for one in drills_of(layout, parts) if one.board == "plate"]
    tiles = _tiles(layout, drills)
    if not tiles:
        return "the plate has no hole"
    if len(tiles) > MOST_TILES:
        return f"the plate takes {len(tiles)} sheets of paper, and {MOST_TILES} are the most"
    name, width, height = _PAPER[plan.rulebook]
    data = {
        "title": f"Drilling template 1:1: {plan.machine}"[:100],
        "paper": {"name": name, "width": width, "height": height},
        "tile": TILE,
        "around": _AROUND,
        "plate": [layout.box.plate_width, layout.box.plate_height],
        "tiles": [
            {"name": f"column {x + 1}, row {y + 1} from below", "x": x * TILE[0], "y": y * TILE[1]} for x, y in tiles
        ],
        "words": MEASURE,
    }
    return typeset("cabinet_template.typ", data, {"plate.svg": svg_of(_full_size(layout, drills))})


def _tiles(layout: Layout, drills: Sequence[Drill]) -> list[tuple[int, int]]:
    """Column and row of each tile in which a hole is, from the lower left corner of the plate."""
    last = (ceil(layout.box.plate_width / TILE[0]) - 1, ceil(layout.box.plate_height / TILE[1]) - 1)
    found = {(min(int(one.x // TILE[0]), last[0]), min(int(one.y // TILE[1]), last[1])) for one in drills}
    return sorted(found, key=lambda tile: (-tile[1], tile[0]))


def _full_size(layout: Layout, drills: Sequence[Drill]) -> Sheet:
    """The plate at 1:1 with a cross in every hole; parts are dashed so that a hole is seen in them."""
    box = layout.box
    view = View(0.0, box.plate_height, 1.0)
    shapes: list[Shape] = [rectangle(view.box(Area(0.0, 0.0, box.plate_width, box.plate_height)), Pen.SYMBOL)]
    shapes += [rectangle(view.box(duct.area), Pen.HAIR) for duct in layout.ducts]
    for placed in layout.plate.values():
        area = view.box(placed.area)
        shapes += [rectangle(area, Pen.LINK), Text(area.x1 + 1.5, area.y2 - 1.5, placed.name)]
    for one in drills:
        x, y = view.point(one.x, one.y)
        shapes += [stroke((x - 5, y), (x + 5, y), pen=Pen.HAIR), stroke((x, y - 5), (x, y + 5), pen=Pen.HAIR)]
        shapes.append(Text(x + 1.5, y - 1.5, f"{one.diameter:g} {one.thread} {one.cause}"))
    return Sheet(
        1, "Drilling template", "enclosure", box.plate_width, box.plate_height, (Group("enclosure", "", tuple(shapes)),)
    )
