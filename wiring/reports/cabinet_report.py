"""The cabinet for people and as JSON: does it fit, what stands where, what to cut, how long the wires are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from wiring.book_words import cut_words
from wiring.cabinet.conflicts import conflicts_of
from wiring.cabinet.drilling import Cut, cuts_of, drills_of, undrilled
from wiring.cabinet.lengths import MAKE_UP, ON_TOP, Courses
from wiring.cabinet.records import Box, Layout, NoRoom, Placed
from wiring.cabinet.study import Study
from wiring.circuit.model import Circuit
from wiring.design.enclosure.laid_cabinet import short_of_way
from wiring.design.machine import Machine
from wiring.reports.page import Grid, Page
from wiring.reports.terminal import print_cautions
from wiring.wording import counted, does, listed

_TYPICAL = (
    "Typical sizes are those of a class, not of your parts: put `size`, `clearance` and `holes` of your own data "
    "sheets into the plan."
)


def render_cabinet(
    study: Study,
    machine: Machine,
    heat_w: Mapping[str, float],
    *,
    width: int,
    colour: bool,
    encoding: str = "utf-8",
    wrote: Sequence[str] = (),
    everything: bool = False,
) -> str:
    """What the cabinet is and what it lacks, in lines of at most `width` columns; `heat_w` is the heat of its parts."""
    page = Page(width, encoding, study.circuit.plan.rulebook)
    layout = study.layout
    _print_fit(page, study)
    if layout is not None:
        _print_rows(page, study, layout, heat_w)
        if everything:
            _print_positions(page, layout)
        _print_cuts(page, cuts_of(layout))
        _print_drills(page, study.circuit, layout, everything)
        _print_wires(page, machine, study.courses, everything)
        _print_open(page, study.circuit, layout)
    for one in wrote:
        page.text(f"Wrote {one}.")
    print_cautions(page)
    return page.render(colour)


def _print_fit(page: Page, study: Study) -> None:
    found, smallest = study.found, study.smallest
    if study.is_too_many:
        page.text(
            f"{study.count} parts stand on the plate. That is a line of cabinets: give each its own plan, of 120 parts "
            "at most."
        )
    elif isinstance(found, NoRoom):
        page.text(f"Does not fit: {found}.")
    elif found is None:
        page.text("No usual cabinet holds the parts, and the plan gives no size (`enclosure: {size: …}`).")
    elif study.is_given:
        page.text(f"Cabinet {found.box.words(page.book)} with the positions that the plan gives.")
    else:
        box = found.box
        needed = f", of which the rows need {study.needed:.0f} mm of height" if study.needed else ""
        fits = f"Fits but for {listed(list(found.unplaced))}" if found.unplaced else "Fits"
        page.text(
            f"{fits}: cabinet {box.words(page.book)}, plate {box.plate_width:g} x {box.plate_height:g} mm{needed}."
        )
    if smallest is not None:
        page.text(
            f"Smallest usual cabinet that holds the parts: {smallest.words(page.book)} (common practice, from memory)."
        )
    if isinstance(found, NoRoom):
        page.text("What helps: that cabinet, a part of the named row elsewhere (`mount: wall`), or less `spare`.")
    page.blank()


def _print_rows(page: Page, study: Study, layout: Layout, heat_w: Mapping[str, float]) -> None:
    page.text("Rows from above, with the heat of their parts in the hottest state")
    for number, row in enumerate(layout.rows, 1):
        heat = sum(heat_w.get(name, 0.0) for name in row)
        page.text(f"{', '.join(row)} ({heat:.0f} W)", 5, f"  {number}")
    bars = [name for name, one in layout.plate.items() if one.outline.mount == "foot"]
    boards = [(board, list(placed)) for board, placed in layout.boards.items() if board != "plate"]
    for heading, names in (("foot", bars), *boards):
        if names:
            page.text(f"{heading}: {', '.join(names)}", 5, "  -")
    for name, why in layout.unplaced.items():
        page.text(f"{name} has no place: {why}", 5, "  !")
    if layout.mixed:
        page.text("Power and control share rows: in rows of their own the parts do not fit on this plate.")
    clashes = list(conflicts_of(layout)) if study.is_given else []
    for clash in clashes:
        page.text(f"{', '.join(clash.names)} {clash.sort.value} {clash.duct}".rstrip(), 5, "  !")
    page.blank()


def _print_positions(page: Page, layout: Layout) -> None:
    rows = tuple(
        (one.name, board, *(cut_words(value, page.book) for value in one.area.sides))
        for board, placed in layout.boards.items()
        for one in placed.values()
    )
    if rows:
        page.text("Positions of the lower left corner of each part, on walls from the back, and its width and height")
        page.grid(Grid(("Part", "On", "x", "y", "Width", "Height"), rows, 2))
        page.blank()


def _print_cuts(page: Page, cuts: Sequence[Cut]) -> None:
    if cuts:
        page.text("Rails and ducts to cut")
        for one in cuts:
            page.text(f"{one.words(page.book)}", 4, "  -")
        page.blank()


def _print_drills(page: Page, circuit: Circuit, layout: Layout, everything: bool) -> None:
    drills = drills_of(layout, circuit.parts)
    page.text(f"Holes: {len(drills)}, from the lower left corner. Fit rails first: parts cover their screws.")
    if everything:
        rows = tuple(
            (one.board, one.cause, cut_words(one.x, page.book), cut_words(one.y, page.book), one.drill, one.thread)
            for one in drills
        )
        page.grid(Grid(("Board", "For", "x", "y", "Drill", "Thread"), rows, 2))
    left = undrilled(layout, circuit.parts)
    if left:
        page.text(f"Drill from the part itself, the plan gives no `holes`: {', '.join(left)}.")
    page.blank()


def _print_wires(page: Page, machine: Machine, courses: Courses | None, everything: bool) -> None:
    if courses is None or not courses.of:
        return
    known = {name: one.cut for name, one in courses.of.items() if one.cut is not None}
    total, count = sum(known.values()) / 1000.0, len(machine.circuit.conductors)
    page.text(
        f"Wires along the ducts: {len(known)} of {count} conductors, {total:.3g} m to cut with "
        f"{MAKE_UP:g} mm at each end and {100 * ON_TOP:g} % on top (common practice, from memory)."
    )
    short = [
        f"{name} ({conductor.length_m:.3g} m, way {course.way / 1000.0:.3g} m)"
        for name, conductor, course in short_of_way(machine, courses.of)
    ]
    if short:
        page.text(f"Given shorter than their way: {', '.join(short)}.")
    if everything:
        rows = tuple((name, f"{known[name] / 1000.0:.2f} m") for name in known)
        page.grid(Grid(("Conductor", "Cut"), rows))
    page.blank()


def _print_open(page: Page, circuit: Circuit, layout: Layout) -> None:
    asked = [name for name, one in layout.outlines.items() if one.is_allowance]
    typical = [name for name, one in layout.outlines.items() if one.standing != "given" and not one.is_allowance]
    drives = [
        name for name, one in layout.plate.items() if one.outline.zone == "drive" and not one.outline.clearance_given
    ]
    if asked:
        page.text(f"Open: the size of {', '.join(asked)} (`size`). 45 x 100 x 110 mm are allowed for each.")
    if drives:
        page.text(f"Open: the free space that {does(drives, 'wants', 'want')} (`clearance`), from the data sheets.")
    if typical:
        page.text(f"Typical sizes are taken for {counted(len(typical), 'part')}. {_TYPICAL}")
    page.blank()


def cabinet_data(study: Study, wrote: Sequence[str] = ()) -> dict[str, Any]:
    """The cabinet as plain data, lengths in mm."""
    layout, found = study.layout, study.found
    courses = study.courses
    return {
        "format": 1,
        "fits": layout is not None and not layout.unplaced,
        "needed_height_mm": study.needed,
        "no_room": {"row": found.row, "part": found.part, "needed_mm": found.needed, "has_mm": found.has}
        if isinstance(found, NoRoom)
        else None,
        "smallest_mm": _box_data(study.smallest),
        "box_mm": _box_data(layout.box) if layout else None,
        "rows": [list(row) for row in layout.rows] if layout else [],
        "plate": {name: _placed_data(one) for name, one in layout.plate.items()} if layout else {},
        "door": {name: _placed_data(one) for name, one in layout.door.items()} if layout else {},
        "walls": {
            wall: {name: _placed_data(one) for name, one in placed.items()} for wall, placed in layout.walls.items()
        }
        if layout
        else {},
        "unplaced": dict(layout.unplaced) if layout else {},
        "rails": [{"name": r.name, "at_mm": [r.x, r.y], "length_mm": r.length} for r in layout.rails] if layout else [],
        "ducts": [
            {"name": d.name, "at_mm": [d.x, d.y], "length_mm": d.length, "size_mm": [d.width, d.depth], "run": d.run}
            for d in layout.ducts
        ]
        if layout
        else [],
        "holes": [
            {"board": h.board, "for": h.cause, "at_mm": [h.x, h.y], "diameter_mm": h.diameter, "thread": h.thread}
            for h in drills_of(layout, study.circuit.parts)
        ]
        if layout
        else [],
        "conductors": {n: {"way_mm": c.way, "cut_mm": c.cut} for n, c in courses.of.items()} if courses else {},
        "wrote": list(wrote),
    }


def _box_data(box: Box | None) -> list[float] | None:
    return None if box is None else [box.width, box.height, box.depth]


def _placed_data(placed: Placed) -> dict[str, Any]:
    outline = placed.outline
    size = [outline.width, outline.height, outline.depth]
    return {"at_mm": [placed.x, placed.y], "size_mm": size, "mount": outline.mount, "standing": outline.standing}
