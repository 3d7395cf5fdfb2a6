"""Blocks in rows between ducts: first fit with the tallest first, and the height that the rows need."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import ceil

from msgspec import Struct

from wiring.cabinet.blocks import Block, Body, Sort, blocks_of, gap, run_width
from wiring.cabinet.records import Box, NoRoom, Style
from wiring.parts.outlines import Outline
from wiring.wording import natural

Row = tuple[Block, ...]
#: From the lower edge of the plate to what stands at its foot, room for the glands, and from there to the duct above
#: [mm]; own choice.
BAR_LIFT, _BAR_AIR = 20.0, 15.0


class Packing(Struct, frozen=True):
    """Rows from above with the lines of bars and batteries at the foot, and the height that each of these lines takes
    [mm]; `mixed` where power and control share rows."""

    rows: tuple[Row, ...]
    bars: tuple[tuple[str, ...], ...]
    foot: tuple[float, ...]
    mixed: bool


def bodies_in(row: Row) -> list[Body]:
    """The bodies of a row from the left."""
    return [body for block in row for body in block.bodies]


def row_width(box: Box, style: Style) -> float:
    """Width between the upright ducts, less the room at both ends [mm]."""
    return box.plate_width - 2 * (style.duct_width + style.edge)


def extents(style: Style, row: Row) -> tuple[float, float]:
    """How far a row reaches above and below the middle of its parts, up to the ducts [mm].

    Half of a clearance may lie over the duct; the room for bending wires is kept beside every part.
    """
    above = below = 0.0
    for body in bodies_in(row):
        outline = body.outline
        above = max(above, outline.height / 2 + max(style.bending, outline.above - style.duct_width / 2))
        below = max(below, outline.height / 2 + max(style.bending, outline.below - style.duct_width / 2))
    return above, below


def needed_height(style: Style, packing: Packing) -> float:
    """Height of plate that the rows, their ducts and the bars at the foot need [mm]."""
    rows = sum(sum(extents(style, row)) for row in packing.rows)
    return rows + style.duct_width * (len(packing.rows) + 1) + sum(packing.foot)


def _joined(style: Style, row: Sequence[Block], block: Block) -> float:
    return run_width(style, bodies_in(in_order([*row, block])))


def in_order(row: Iterable[Block]) -> Row:
    """The blocks of a row by sort, those of one kind side by side."""
    return tuple(sorted(row, key=lambda block: block.sort))


def _first_fit(style: Style, blocks: Iterable[Block], capacity: float, mixed: bool) -> list[list[Block]]:
    rows: list[list[Block]] = []
    order = sorted(blocks, key=lambda b: (b.sort is not Sort.FIELD, -b.height, b.sort, natural(b.bodies[0].name)))
    for block in order:
        for row in rows:
            alike = mixed or {block.sort, *(one.sort for one in row)} in _TOGETHER
            if alike and _joined(style, row, block) <= capacity + 1e-6:
                row.append(block)
                break
        else:
            rows.append([block])
    return rows


#: Sorts that may share a row where power and control stand apart.
_TOGETHER = ({Sort.POWER}, {Sort.CONTROL}, {Sort.FIELD}, {Sort.FIELD, Sort.CONTROL})


def _from_above(rows: Iterable[Sequence[Block]], entry: str) -> tuple[Row, ...]:
    """Rows in order: power above control, the hottest first; the row of cables where these enter."""

    def place(row: Sequence[Block]) -> tuple[int, int, float, str]:
        field = any(block.sort is Sort.FIELD for block in row)
        where = 0 if not field else -1 if entry == "top" else 1
        return where, min(b.sort for b in row), -sum(b.heat_w for b in row), row[0].bodies[0].name

    return tuple(in_order(row) for row in sorted(rows, key=place))


def bars_in_lines(outlines: Mapping[str, Outline], width: float) -> tuple[tuple[str, ...], ...]:
    """What stands at the foot, in lines of at most that width; each line is as wide as one part at least."""
    lines: list[list[str]] = []
    used = 0.0
    for name, outline in outlines.items():
        if outline.mount == "foot":
            step = outline.width + 2 * outline.sides + 10.0
            if not lines or used + step > width:
                lines.append([])
                used = 0.0
            lines[-1].append(name)
            used += step
    return tuple(tuple(line) for line in lines)


def foot_heights(style: Style, lines: Iterable[Sequence[str]], outlines: Mapping[str, Outline]) -> tuple[float, ...]:
    """Height of each line at the foot: room for the glands below, and for wires between it and the duct above [mm]."""
    tallest = (max(outlines[name].height for name in line) for line in lines)
    return tuple(max(style.foot, BAR_LIFT + height + _BAR_AIR) for height in tallest)


def packings(style: Style, box: Box, bodies: Sequence[Body], outlines: Mapping[str, Outline]) -> Iterable[Packing]:
    """Ways to stand the parts in rows, that which a builder likes best first."""
    capacity = row_width(box, style) * (1 - style.spare)
    bars = bars_in_lines(outlines, box.plate_width)
    for mixed in (False, True):
        for whole in (True, False):
            blocks = blocks_of(style, bodies, capacity, whole=whole)
            rows = _first_fit(style, blocks, capacity, mixed)
            yield Packing(_from_above(rows, box.entry), bars, foot_heights(style, bars, outlines), mixed)


def pack(style: Style, box: Box, bodies: Sequence[Body], outlines: Mapping[str, Outline]) -> Packing | NoRoom:
    """The first way in which all parts fit on the plate, or why none does."""
    wide = _too_wide(style, box, bodies, outlines)
    if wide is not None:
        return wide
    found = list(packings(style, box, bodies, outlines))
    fitting = next((one for one in found if needed_height(style, one) <= box.plate_height + 1e-6), None)
    return fitting or _no_room(style, box, min(found, key=lambda one: needed_height(style, one)))


def _too_wide(style: Style, box: Box, bodies: Sequence[Body], outlines: Mapping[str, Outline]) -> NoRoom | None:
    widest = max(bodies, key=lambda one: one.outline.width, default=None)
    between = 2 * (style.duct_width + style.edge)
    if widest is not None and widest.outline.width > row_width(box, style) * (1 - style.spare) + 1e-6:
        needed = widest.outline.width / (1 - style.spare) + between
        return NoRoom(needed, box.plate_width, (widest.name,), widest.name, side="width")
    bar = max((n for n, o in outlines.items() if o.mount == "foot"), key=lambda n: outlines[n].width, default=None)
    if bar is not None and outlines[bar].width > box.plate_width:
        return NoRoom(outlines[bar].width, box.plate_width, (bar,), bar, side="width")
    return None


def _no_room(style: Style, box: Box, packing: Packing) -> NoRoom:
    """The first row, from above, whose lower duct or the bars below it end under the plate."""
    left = box.plate_height - style.duct_width - sum(packing.foot)
    row = packing.rows[-1] if packing.rows else ()
    for row in packing.rows:
        left -= sum(extents(style, row)) + style.duct_width
        if left < -1e-6:
            break
    tallest = max(bodies_in(row), key=lambda one: sum(extents(style, (Block((one,)),))), default=None)
    names = tuple(body.name for body in bodies_in(row)) or tuple(name for line in packing.bars for name in line)
    return NoRoom(needed_height(style, packing), box.plate_height, names, tallest.name if tallest else names[0])


def spread(style: Style, width: float, row: Row) -> list[tuple[Body, float]]:
    """The bodies of a row with their left edges, from the left end of the room between the ducts [mm].

    What is spare stands behind each block, up to a block's share of it; the rest is at the right end.
    """
    bodies = bodies_in(row)
    free = max(width - run_width(style, bodies), 0.0) / max(len(row), 1)
    found: list[tuple[Body, float]] = []
    x = 0.0
    before: Body | None = None
    for block in row:
        start = x
        for body in block.bodies:
            x += gap(style, before, body) if before else 0.0
            x = ceil(10.0 * x - 1e-6) / 10.0  # a tenth of a millimetre, finer than anybody drills
            found.append((body, x))
            x += body.outline.width
            before = body
        x += min(free, (x - start) * style.spare / (1 - style.spare))
    return found
