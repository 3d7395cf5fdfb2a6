"""The layout of a cabinet: rows of parts between ducts on the plate, the door over it, or why they do not fit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from wiring.cabinet.blocks import Body, bodies_of, outlines_of
from wiring.cabinet.box import box_of, style_of
from wiring.cabinet.door import door_places, shafts_of
from wiring.cabinet.records import Box, DuctPiece, Layout, NoRoom, Placed, RailPiece, Style
from wiring.cabinet.rows import BAR_LIFT, Packing, bodies_in, extents, needed_height, pack, row_width, spread
from wiring.cabinet.search import TRIALS, Search
from wiring.cabinet.walls import wall_places
from wiring.circuit.model import Circuit
from wiring.parts.outlines import Outline

#: More parts than this on one plate are a line of cabinets.
MOST_PARTS = 120


def lay_out(circuit: Circuit, box: Box | None = None, trials: int = TRIALS) -> Layout | NoRoom | int:
    """The parts of a circuit in its cabinet, or in another box; the number of parts where they are too many for one.

    With no `trials` of shorter wires it takes a fiftieth of the time: enough to see whether the parts go in.

    The plan must give the size of the cabinet unless a box is given. The same plan has the same layout always.
    """
    outlines = outlines_of(circuit.parts)
    bodies = bodies_of(circuit, outlines)
    box, style = box or box_of(circuit.plan), style_of(circuit.plan)
    if len(bodies) > MOST_PARTS:
        return len(bodies)
    packing = pack(style, box, bodies, outlines)
    if isinstance(packing, NoRoom):
        return packing
    if packing.rows:
        packing = replace(packing, rows=Search(box, style, circuit, packing).best(trials))
    return layout_of(circuit, box, packing)


class KeptLayouts:
    """The layouts of a plan from one version to the next: made anew where a part of the cabinet, a size, or an end of a
    conductor is another one."""

    def __init__(self) -> None:
        self._found: dict[Box | None, tuple[object, Layout | NoRoom | int]] = {}
        self._asked: object = None

    def lay_out(self, circuit: Circuit, box: Box | None = None) -> Layout | NoRoom | int:
        """What `lay_out` finds."""
        grounds, known = _grounds(circuit), self._found.get(box)
        if known is None or known[0] != grounds:
            known = self._found[box] = grounds, lay_out(circuit, box)
        return known[1]

    def is_another(self, circuit: Circuit) -> bool:
        """Whether what a layout follows from is another than when this was asked last."""
        before, self._asked = self._asked, _grounds(circuit)
        return before != self._asked


def _grounds(circuit: Circuit) -> object:
    """Everything that a layout follows from."""
    plan, parts = circuit.plan, circuit.parts
    outlines = outlines_of(parts)
    return (
        (plan.rulebook, plan.enclosure),
        [(name, outline, parts[name].data) for name, outline in outlines.items()],
        {name: part.data.at for name, part in parts.items()},
        [(one.a, one.b, one.cable is not None) for one in circuit.conductors],
    )


def layout_of(circuit: Circuit, box: Box, packing: Packing) -> Layout:
    """Rows as they are on the plate, with rails, ducts and the door."""
    outlines, style = outlines_of(circuit.parts), style_of(circuit.plan)
    plate = {one.name: one for one in _on_plate(box, style, packing, outlines)}
    shafts = shafts_of(circuit.parts, plate)
    door, unplaced = door_places(box, plate, outlines, shafts, circuit.plan.enclosure)
    rows = tuple(tuple(body.name for body in bodies_in(row)) for row in packing.rows)
    layout = Layout(
        box,
        style,
        tuple(_rails(box, style, packing, plate)),
        tuple(_ducts(box, style, packing)),
        plate,
        door,
        {},
        rows,
        shafts,
        unplaced,
        packing.mixed,
    )
    waiting = {name: outline for name, outline in outlines.items() if outline.mount == "wall"}
    walls, no_wall = wall_places(layout, waiting, circuit.parts)
    return replace(layout, walls=walls, unplaced={**unplaced, **no_wall})


def _middles(box: Box, style: Style, packing: Packing) -> list[tuple[float, float]]:
    """The middle of every row and the lower edge of the duct below it, what is left over shared among the rows."""
    share = max(box.plate_height - needed_height(style, packing), 0.0) / max(len(packing.rows), 1)
    y = box.plate_height - style.duct_width
    found = []
    for row in packing.rows:
        above, below = extents(style, row)
        middle = y - above - share / 2
        y = middle - below - share / 2 - style.duct_width
        found.append((_rounded(middle), _rounded(y)))
    return found


def _rounded(value: float) -> float:
    """To a tenth of a millimetre, finer than anybody drills."""
    return round(value, 1)


def _on_plate(box: Box, style: Style, packing: Packing, outlines: Mapping[str, Outline]) -> Iterator[Placed]:
    width, left = row_width(box, style), style.duct_width + style.edge
    for row, (middle, _) in zip(packing.rows, _middles(box, style, packing), strict=True):
        for body, x in spread(style, width, row):
            yield Placed(body.name, body.outline, _rounded(left + x), _rounded(middle - body.outline.height / 2))
    low = 0.0
    for line, height in zip(reversed(packing.bars), reversed(packing.foot), strict=True):
        total = sum(outlines[name].width for name in line) + 10.0 * (len(line) - 1)
        x = (box.plate_width - total) / 2
        for name in line:
            yield Placed(name, outlines[name], _rounded(x), _rounded(low + BAR_LIFT))
            x += outlines[name].width + 10.0
        low += height


def _ducts(box: Box, style: Style, packing: Packing) -> Iterator[DuctPiece]:
    """Upright ducts run through, those across are cut between them."""
    lower = [low for _, low in _middles(box, style, packing)]
    if not lower:
        return
    top, foot = box.plate_height - style.duct_width, lower[-1]
    size = (style.duct_width, style.duct_depth)
    between = box.plate_width - 2 * style.duct_width
    for n, y in enumerate([top, *lower], 1):
        yield DuctPiece(f"duct-{n}", style.duct_width, y, between, *size, "across")
    yield DuctPiece("duct-left", 0.0, foot, _rounded(box.plate_height - foot), *size, "up")
    yield DuctPiece(
        "duct-right", box.plate_width - style.duct_width, foot, _rounded(box.plate_height - foot), *size, "up"
    )


def _rails(box: Box, style: Style, packing: Packing, plate: Mapping[str, Placed]) -> Iterator[RailPiece]:
    """A rail under every run of parts that hang on one, as far as the next part that is screwed to the plate."""
    number = 0
    first, end = style.duct_width, box.plate_width - style.duct_width
    for row, (middle, _) in zip(packing.rows, _middles(box, style, packing), strict=True):
        for before, run, following in _runs(bodies_in(row)):
            number += 1
            start = max(plate[run[0].name].x - style.edge, plate[before.name].area.right if before else first)
            stop = end if following is None else plate[following.name].x - following.outline.sides
            last = plate[run[-1].name].area.right + style.edge
            most = end if following is None else plate[following.name].x
            yield RailPiece(f"rail-{number}", _rounded(start), middle, _rounded(min(max(stop, last), most) - start))


def _runs(bodies: Sequence[Body]) -> Iterator[tuple[Body | None, list[Body], Body | None]]:
    """Every run of parts on a rail, with the part before it and that after it that are screwed to the plate."""
    run: list[Body] = []
    before: Body | None = None
    for body in bodies:
        if body.outline.mount == "rail":
            run.append(body)
            continue
        if run:
            yield before, run, body
        run, before = [], body
    if run:
        yield before, run, None
