"""The power of the whole machine on one line: from the inlet over protection and supplies to drives and loads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring import wording
from wiring.design.design import Design
from wiring.drawing.feeds import FedUnit
from wiring.drawing.notes import rating
from wiring.drawing.overview_trees import (
    Branch,
    depth_of,
    feed_trees,
    levels_of,
    listed,
    pieces_of,
    poles_of_divided,
    see_also,
)
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import (
    ADVANCE,
    DESIGNATION,
    TEXT,
    Box,
    Group,
    Line,
    Pen,
    Shape,
    Text,
    moved_all,
    rectangle,
    shortened,
)
from wiring.drawing.symbols import SymbolSet
from wiring.drawing.symbols.glyph import ring, stroke
from wiring.parts.base import Part
from wiring.parts.elements import Function, Switch
from wiring.parts.switching import Contactor
from wiring.parts.traits import SymbolForm
from wiring.quantities import show

_ROW, _LEAST, _MOST, _WIDE = 17.5, 26.0, 40.0, 10.0
#: What stays free between the words of two columns [mm].
_GAP = 3.0
_CHAR = ADVANCE * TEXT


class _Draughtsman:
    def __init__(
        self, parts: Mapping[str, Part], symbols: SymbolSet, poles: Mapping[int, str], area: Box, cells: Sequence[float]
    ) -> None:
        self.parts, self.symbols, self.poles, self.area, self.cells = parts, symbols, poles, area, cells
        self.groups: list[Group] = []

    def branch(self, branch: Branch, level: int, row: float) -> float:
        """Draw a branch from a row on; returns the y of its own line."""
        x = self.area.x1 + sum(self.cells[:level])
        ys = []
        below = row
        for child in branch.children:
            ys.append(self.branch(child, level + 1, below))
            below += child.leaves
        y = ys[0] if ys else self.area.y1 + (row + 0.6) * _ROW
        shapes = self._symbol(branch, x, y, self.cells[level], leads=bool(ys))
        part, wide = branch.unit.part, self.width(branch)
        if not ys and not branch.again and branch.unit.onward:
            shapes.append(self._onward(branch.unit, x + wide + 1.5, y))
        data = (("part", part), ("at", f"{x:.2f} {y:.2f}"), ("wide", f"{wide:.2f}"))
        self.groups.append(Group("overview", part, tuple(shapes), data))
        if ys:
            self.groups.append(
                Group("overview", "feed", tuple(self._lines(x + wide, x + self.cells[level], y, ys)), (("feed", part),))
            )
        return y

    def _onward(self, unit: FedUnit, x: float, y: float) -> Text:
        """What a device leads on to whose feed ends on the overview: circuits that carry signals alone."""
        words = f"to {wording.listed(unit.onward)}"
        return Text(x, y + 0.9, shortened(words, int((self.area.x2 - x) / _CHAR)))

    def width(self, branch: Branch) -> float:
        """Width of the symbol of a branch [mm]."""
        signs = [] if branch.again else self._sign(branch.unit, leads=False)
        return max(_WIDE, *(x for shape in signs if isinstance(shape, Line) for x, _ in shape.points), 0.0)

    def _lines(self, start: float, end: float, y: float, ys: Sequence[float]) -> list[Shape]:
        """The lines from the end of a symbol at y to the units that it feeds."""
        bus = end - 2.0
        lines: list[Shape] = [Line(((start, y), (end, y)), Pen.POWER)]
        if len(ys) > 1:
            lines.append(Line(((bus, ys[0]), (bus, ys[-1])), Pen.POWER))
        return [*lines, *(Line(((bus, other), (end, other)), Pen.POWER) for other in ys if other != y)]

    def words(self, unit: FedUnit) -> str:
        """What stands under the symbol of a unit."""
        part = self.parts[unit.part]
        poles_a = part.data.rated if isinstance(part.data, Contactor) else None
        said = show(poles_a, "current") if poles_a else rating(part) or part.data.title or part.kind
        return f"{self.poles.get(unit.number, '')} {said}".strip()

    def _symbol(self, branch: Branch, x: float, y: float, cell: float, leads: bool) -> list[Shape]:
        most = int((cell - _GAP) / _CHAR + 1e-6)
        part = self.parts[branch.unit.part]
        name = listed(branch.again) if branch.again else part.name
        name_most = int((cell - _GAP) / (_CHAR * DESIGNATION / TEXT) + 1e-6)
        shapes: list[Shape] = [Text(x, y - 4.3, shortened(name, name_most), DESIGNATION, bold=True)]
        feeds = [f"from {branch.origin.part}"] if branch.origin else []
        feeds += [f"and from {listed(branch.also)}"] if branch.also else []
        if feeds:
            shapes.append(Text(x, y - 9.0, shortened(" ".join(feeds), most)))
        if branch.again:
            arrow = stroke((5.0, -1.5), (7.5, 0.0), (5.0, 1.5))
            see = Text(x, y + 6.0, shortened(see_also(branch), most))
            return [*shapes, see, *moved_all([stroke((0.0, 0.0), (7.5, 0.0)), arrow], x, y)]
        shapes.append(Text(x, y + 6.0, shortened(self.words(branch.unit), most)))
        return [*shapes, *moved_all(self._sign(branch.unit, leads), x, y)]

    def _sign(self, unit: FedUnit, leads: bool) -> list[Shape]:
        part = self.parts[unit.part]
        form, sign = part.data.symbol.form, part.data.sign()
        contact = next((e for e in part.of(Switch) if e.name in unit.paths), None)
        if contact and part.terminals[contact.a].function is Function.CONTACT:
            return list(self.symbols.glyph("break" if contact.closed_at_rest else "make").whole)
        if form in (SymbolForm.POLES, SymbolForm.TWO_ENDED, SymbolForm.COIL):
            return list(self.symbols.glyph(sign).whole)
        if form is SymbolForm.MACHINE:
            return [ring(5.0, 0.0, 3.5), Text(5.0, 1.3, "M", 3.5, "middle"), stroke((0.0, 0.0), (1.5, 0.0))]
        if form is SymbolForm.FRAME and sign:
            ends: list[Shape] = [stroke((0.0, 0.0), (1.5, 0.0))]
            ends += [stroke((8.5, 0.0), (_WIDE, 0.0))] if leads else []
            frame = rectangle(Box(1.5, -3.5, 8.5, 3.5))
            return [frame, *ends, *moved_all(self.symbols.emblem(sign), 5.0, 0.0)]
        arrow = stroke((5.0, -1.5), (7.5, 0.0), (5.0, 1.5))
        return [stroke((0.0, 0.0), (_WIDE, 0.0)), arrow]


def overview_groups(design: Design, symbols: SymbolSet, paper: Paper) -> list[list[Group]]:
    """The sheets of the overview, each with its groups; none for a plan without power."""
    area = paper.area
    trees = feed_trees(design)
    if not trees:
        return []
    most = int(area.width / _LEAST)
    rows = int(area.height / _ROW)
    pieces = pieces_of(trees, most, rows)
    levels = max(depth_of(piece) for piece in pieces)
    cells = [min(_MOST, area.width / levels)] * levels
    poles = poles_of_divided(trees)
    sheets: list[list[Group]] = []
    draughtsman = _Draughtsman(design.circuit.parts, symbols, poles, area, cells)
    row = 0
    for piece in pieces:
        if row and row + piece.leaves > rows:
            sheets.append(draughtsman.groups)
            draughtsman = _Draughtsman(design.circuit.parts, symbols, poles, area, cells)
            row = 0
        draughtsman.branch(piece, 0, row)
        row += piece.leaves
    return [*sheets, draughtsman.groups]


def small_overview(design: Design, symbols: SymbolSet, room: Box) -> list[Group]:
    """The overview in a corner of another sheet, its columns no wider than their words; none where it does not fit."""
    trees = feed_trees(design)
    if not trees or sum(tree.leaves for tree in trees) * _ROW > room.height:
        return []
    draughtsman = _Draughtsman(design.circuit.parts, symbols, poles_of_divided(trees), room, ())
    wide = dict.fromkeys(range(max(map(depth_of, trees))), _WIDE + _GAP)
    for tree in trees:
        for level, branch in levels_of(tree):
            wide[level] = max(wide[level], _text_width(draughtsman, branch) + _GAP, draughtsman.width(branch) + _GAP)
    if sum(wide.values()) > room.width:
        return []
    draughtsman.cells = tuple(wide.values())
    row = 0
    for tree in trees:
        draughtsman.branch(tree, 0, row)
        row += tree.leaves
    return draughtsman.groups


def _text_width(draughtsman: _Draughtsman, branch: Branch) -> float:
    """Width of the longest words at a symbol [mm]."""
    names = listed(branch.again) if branch.again else branch.unit.part
    said = [see_also(branch) if branch.again else draughtsman.words(branch.unit)]
    said += [f"and from {listed(branch.also)}"] if branch.also else []
    return max(len(names) * _CHAR * DESIGNATION / TEXT, *(len(words) * _CHAR for words in said))
