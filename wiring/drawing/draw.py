"""The whole set of sheets of a design."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence, Set

from wiring.cabinet.study import Study
from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.drawing.bands import Measure
from wiring.drawing.block import Block
from wiring.drawing.body import Artist
from wiring.drawing.cabinet_sheets import cabinet_contents, list_contents
from wiring.drawing.compose import Composer, pin_place
from wiring.drawing.conductor_words import ANYWHERE, Places
from wiring.drawing.consumers import with_consumers
from wiring.drawing.content import Content
from wiring.drawing.cover import Contents, cover_groups, room_for_overview
from wiring.drawing.distribute import blocks_of
from wiring.drawing.frame import StripEntry, TitleBlock, border, strip, title_block
from wiring.drawing.functions import AT_RING, AXIS, MAINS, base_of, rank_of, short_title_of, title_of
from wiring.drawing.layout import Layouter
from wiring.drawing.legend import legend_contents, legend_entries
from wiring.drawing.pack import Page, pack
from wiring.drawing.paper import Paper
from wiring.drawing.potentials import has_dc, potential_names
from wiring.drawing.prepare import Prepared, prepare, problem_of
from wiring.drawing.shapes import Group, Sheet
from wiring.drawing.strip_sheets import strip_contents
from wiring.drawing.symbols import SymbolSet
from wiring.drawing.through import drawn_through, parts_at
from wiring.drawing.wired import UPPER
from wiring.findings import Report
from wiring.parts.incoming import Inlet

#: Lines that the contents need beside circuits and cabinet: cover, strips, findings, legend of most machines.
_OTHER_SHEETS = 7
Progress = Callable[[str, int, int], None]


def _quiet(what: str, done: int, count: int) -> None:
    """Tells nobody."""


def _blocks(
    prepared: Prepared,
    measure: Measure,
    paper: Paper,
    name: Callable[[Node], str],
    inlets: Collection[str],
    progress: Progress,
) -> list[Page]:
    sheets = sorted({unit.sheet for unit in prepared.units} - {AT_RING}, key=rank_of)
    order = {sheet: n for n, sheet in enumerate(sheets)}
    layouter = Layouter(measure, paper.area.width, paper.area.height)
    composer = Composer(measure, ANYWHERE)

    def lay(own: Prepared, function: str, elsewhere: Set[str] = frozenset()) -> list[Block]:
        return blocks_of(problem_of(own, function, order), function, layouter, name, elsewhere)

    def is_inlet(block: Block) -> bool:
        return block.sheet == MAINS and any(unit.unit.part in inlets for unit in block.units)

    progress("laying out", 0, len(sheets))
    moved, found = with_consumers(prepared, lay)
    for n, sheet in enumerate(sheets):
        progress("laying out", n, len(sheets))
        found[sheet] = found[sheet] if sheet in found else lay(moved, sheet)
    progress("laying out", len(sheets), len(sheets))
    functions = [found[sheet] for sheet in sorted(found, key=rank_of)]
    return pack(functions, paper.area, composer.cells, is_inlet)


def places_of(pages: Sequence[Page], zone: Callable[[float, float], str], first: int) -> Places:
    """The sheet, counted from `first`, and the zone of every wire end and unit."""
    ends: dict[tuple[str, int], tuple[int, str]] = {}
    units: dict[str, tuple[int, str]] = {}
    for number, page in enumerate(pages, first):
        for placed in page.placed:
            for hung in placed.block.hung:
                units[hung.unit.id] = (number, zone(hung.xs[0] + placed.x, hung.top + placed.y))
                for tap in hung.taps:
                    foot = hung.top if tap.side == UPPER else hung.bottom
                    ends[tap.end] = (number, zone(hung.xs[tap.lane] + placed.x, foot + placed.y))
            for unit in placed.block.units:
                x, y = unit.x + placed.x, placed.y
                at = x + (unit.width if unit.unit.lanes[0].left is None else 0.0)
                units[unit.unit.id] = (number, zone(at, unit.ys[0] + y))
                for end, side, lane, row in unit.taps:
                    x, at_row = pin_place(unit, side, lane, row)
                    ends[end] = (number, zone(x + placed.x, at_row + y))
    for (wire, n), place in tuple(ends.items()):  # metalwork at the ring of a shield stands where that is
        ends.setdefault((wire, 1 - n), place)
    return Places(ends, units)


def _page_title(page: Page, titles: Mapping[str, str], *, has_dc: bool) -> str:
    functions = page.functions
    if len(functions) == 1:
        return title_of(functions[0], titles, has_dc=has_dc)
    axes = [sheet.removeprefix(AXIS) for sheet in functions if base_of(sheet) == AXIS]
    names = [short_title_of(sheet, has_dc=has_dc) for sheet in functions if base_of(sheet) != AXIS]
    if axes:
        at = sum(rank_of(sheet) < rank_of(AXIS) for sheet in functions)
        names.insert(at, f"{'Axes' if len(axes) > 1 else 'Axis'} {', '.join(sorted(axes))}")
    return " · ".join(names)


def _title_fields(design: Design) -> TitleBlock:
    plan = design.plan
    file = design.reading.source.file.rsplit("/", 1)[-1]
    return TitleBlock(plan.author, plan.author, plan.machine, file, plan.revision, plan.date)


def _strip_entries(prepared: Prepared, groups: tuple[Group, ...]) -> list[StripEntry]:
    numbers = sorted({int(group.id) for group in groups if group.kind == "finding"})
    entries = []
    for number in numbers:
        finding = prepared.findings[number - 1]
        accepted = f" (accepted: {finding.accepted})" if finding.accepted else ""
        entries.append(StripEntry(number, finding.signal.value, finding.summary + accepted))
    return entries


def draw(
    design: Design, report: Report | None, paper: Paper, progress: Progress = _quiet, *, lists_findings: bool = True
) -> tuple[Sheet, ...]:
    """Every sheet of a design in order: cover, overview, cabinet, circuits, findings where nothing else lists them."""
    from wiring.drawing.findings_sheet import findings_contents
    from wiring.drawing.overview import overview_groups, small_overview

    symbols = SymbolSet(design.plan.rulebook)
    prepared = prepare(design, report)
    measure = Measure(Artist(symbols), prepared.names)
    inlets = [name for name, part in design.parts.items() if isinstance(part.data, Inlet)]
    pages = _blocks(prepared, measure, paper, potential_names(design), inlets, progress)
    cabinet = cabinet_contents(design, paper)
    room = room_for_overview(paper, len(pages) + len(cabinet) + _OTHER_SHEETS)
    on_cover = small_overview(design, symbols, room)
    overview = [] if on_cover else overview_groups(design, symbols, paper)
    first = 2 + len(overview) + len(cabinet)
    places = places_of(pages, paper.zone, first)
    composer = Composer(measure, places)
    titles = {name: part.data.title for name, part in design.parts.items()}
    ends = parts_at(prepared.names)
    contents = [Content("Power overview", "overview", tuple(groups)) for groups in overview]
    contents += cabinet
    for number, page in enumerate(pages):
        progress("drawing", number, len(pages))
        groups = drawn_through(composer.page(page), paper.area, ends)
        contents.append(Content(_page_title(page, titles, has_dc=has_dc(design)), "circuit", tuple(groups)))
    contents += strip_contents(design, places, paper)
    circuits = {number: content.groups for number, content in enumerate(contents, 2)}
    contents += findings_contents(prepared, circuits, paper) if lists_findings else []
    entries = legend_entries(prepared.units, symbols, design.plan.rulebook)
    contents += legend_contents(cover_groups(design, entries, (), paper)[1], paper)
    title = "Cover and power overview" if on_cover else "Cover"
    listed = [Contents(1, title), *(Contents(n, content.title) for n, content in enumerate(contents, 2))]
    cover, _ = cover_groups(design, entries, listed, paper)
    contents.insert(0, Content(title, "cover", (*cover, *on_cover)))
    return _framed(design, prepared, contents, paper)


def cabinet_sheets(design: Design, paper: Paper) -> tuple[Sheet, ...]:
    """The sheets of the cabinet alone, with what is cut and drilled."""
    layout = Study(design.circuit).layout
    contents = cabinet_contents(design, paper)
    contents += list_contents(design, layout, paper) if layout is not None else []
    fields = _title_fields(design)
    return tuple(
        Sheet(
            number,
            content.title,
            content.kind,
            paper.width,
            paper.height,
            (border(paper), title_block(paper, fields, content, number, len(contents)), *content.groups),
        )
        for number, content in enumerate(contents, 1)
    )


def _framed(design: Design, prepared: Prepared, contents: list[Content], paper: Paper) -> tuple[Sheet, ...]:
    fields = _title_fields(design)
    further = next(
        (f"all findings in full on sheet {n}" for n, content in enumerate(contents, 1) if content.kind == "findings"),
        "all findings in full in their list",
    )
    sheets = []
    for number, content in enumerate(contents, 1):
        groups = (
            border(paper, has_lines=paper.has_lines and content.kind == "circuit"),
            title_block(paper, fields, content, number, len(contents)),
            strip(paper, _strip_entries(prepared, content.groups), further),
            *content.groups,
        )
        kept = tuple(group for group in groups if group.shapes)
        sheets.append(Sheet(number, content.title, content.kind, paper.width, paper.height, kept))
    return tuple(sheets)
