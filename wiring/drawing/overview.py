"""The power of the whole machine on one line: from the inlet over protection and supplies to drives and loads."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct, field

from wiring.design.design import Design
from wiring.drawing.feeds import FedUnit, fed_units
from wiring.drawing.notes import rating
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
from wiring.parts.incoming import Inlet
from wiring.parts.switching import Contactor
from wiring.parts.traits import SymbolForm
from wiring.quantities import show
from wiring.wording import natural

_ROW, _LEAST, _MOST, _WIDE = 17.5, 26.0, 40.0, 10.0
#: What stays free between the words of two columns [mm].
_GAP = 3.0
_CHAR = ADVANCE * TEXT
#: Characters of designations that fit over an arrow in the narrowest column.
_ARROW_MOST = 10


class _Branch(Struct):
    """A unit with what hangs on it. `also` are its other feeds, `origin` is the feed of a branch that was cut off.

    With `again` it is an arrow to units that this feed reaches and that are drawn elsewhere.
    """

    unit: FedUnit
    children: list[_Branch] = field(default_factory=list)
    also: tuple[FedUnit, ...] = ()
    again: tuple[FedUnit, ...] = ()
    origin: FedUnit | None = None

    @property
    def leaves(self) -> int:
        return max(1, sum(child.leaves for child in self.children))


def _trees(design: Design) -> list[_Branch]:
    """Every unit under its first feed, from the inlet and then from the other sources; breadth first."""
    parts = design.circuit.parts

    def rank(unit: FedUnit) -> tuple[object, ...]:
        data = parts[unit.part].data
        return not isinstance(data, Inlet), not data.separate_source, natural(unit.part), unit.paths

    units = {unit.number: unit for unit in sorted(fed_units(design), key=rank)}
    behind: dict[int, list[FedUnit]] = {}
    for unit in units.values():
        for parent in unit.parents:
            behind.setdefault(parent, []).append(unit)
    seen: set[int] = set()
    fed_by_none = [unit for unit in units.values() if not unit.parents]
    starts = (*fed_by_none, *units.values())
    return [_tree(unit, behind, units, seen) for unit in starts if unit.number not in seen]


def _tree(
    root: FedUnit, behind: Mapping[int, Sequence[FedUnit]], units: Mapping[int, FedUnit], seen: set[int]
) -> _Branch:
    top = _Branch(root, also=tuple(units[number] for number in root.parents))
    seen.add(root.number)
    queue = deque([top])
    while queue:
        branch = queue.popleft()
        for unit in behind.get(branch.unit.number, ()):
            if unit.number in seen:
                _add_arrow(branch, unit)
                continue
            seen.add(unit.number)
            others = tuple(units[number] for number in unit.parents if number != branch.unit.number)
            branch.children.append(_Branch(unit, also=others))
            queue.append(branch.children[-1])
    return top


def _add_arrow(branch: _Branch, unit: FedUnit) -> None:
    """An arrow to a unit that is drawn elsewhere; those of one feed share it while their names fit."""
    for child in branch.children:
        if child.again and len(_listed((*child.again, unit))) <= _ARROW_MOST:
            child.again = (*child.again, unit)
            return
    branch.children.append(_Branch(unit, again=(unit,)))


def _see(branch: _Branch) -> str:
    return "see its symbol" if len(branch.again) == 1 else "see symbols"


def _listed(units: Sequence[FedUnit]) -> str:
    return ", ".join(dict.fromkeys(unit.part for unit in units))


def _below(branch: _Branch, level: int = 1) -> Iterator[tuple[int, _Branch, _Branch]]:
    """Every branch below one, with its level and what feeds it."""
    for child in branch.children:
        yield level + 1, branch, child
        yield from _below(child, level + 1)


def _cut_off(parent: _Branch, child: _Branch) -> _Branch:
    """The child as a tree of its own; an arrow stays in its place."""
    parent.children[parent.children.index(child)] = _Branch(child.unit, again=(child.unit,))
    child.origin = parent.unit
    return child


def _narrowed(top: _Branch, rows: int) -> Iterator[_Branch]:
    """Takes off what makes a tree too broad for a sheet: the smallest branch that is enough, or else the largest."""
    while top.leaves > rows:
        broad = [(parent, child) for _, parent, child in _below(top) if child.leaves > 1]
        enough = [pair for pair in broad if top.leaves - pair[1].leaves + 1 <= rows]
        if not broad:
            widest = max((top, *(child for _, _, child in _below(top))), key=lambda branch: len(branch.children))
            child = widest.children.pop()
            child.origin = widest.unit
            yield child
        elif enough:
            yield _cut_off(*min(enough, key=lambda pair: pair[1].leaves))
        else:
            yield _cut_off(*max(broad, key=lambda pair: pair[1].leaves))


def _pieces(trees: list[_Branch], depth: int, rows: int) -> list[_Branch]:
    """The trees, with what is too deep or too broad for a sheet as trees of their own."""
    done: list[_Branch] = []
    queue = deque(trees)
    while queue:
        branch = queue.popleft()
        deep = [(up, child) for level, up, child in _below(branch) if level == depth and child.children]
        later = [_cut_off(up, child) for up, child in deep]
        later += _narrowed(branch, rows)
        done.append(branch)
        queue.extendleft(reversed(later))
    return done


class _Draughtsman:
    def __init__(
        self, parts: Mapping[str, Part], symbols: SymbolSet, poles: Mapping[int, str], area: Box, cells: Sequence[float]
    ) -> None:
        self.parts, self.symbols, self.poles, self.area, self.cells = parts, symbols, poles, area, cells
        self.groups: list[Group] = []

    def branch(self, branch: _Branch, level: int, row: float) -> float:
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
        data = (("part", part), ("at", f"{x:.2f} {y:.2f}"), ("wide", f"{wide:.2f}"))
        self.groups.append(Group("overview", part, tuple(shapes), data))
        if ys:
            self.groups.append(
                Group("overview", "feed", tuple(self._lines(x + wide, x + self.cells[level], y, ys)), (("feed", part),))
            )
        return y

    def width(self, branch: _Branch) -> float:
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

    def _symbol(self, branch: _Branch, x: float, y: float, cell: float, leads: bool) -> list[Shape]:
        most = int((cell - _GAP) / _CHAR + 1e-6)
        part = self.parts[branch.unit.part]
        name = _listed(branch.again) if branch.again else part.name
        name_most = int((cell - _GAP) / (_CHAR * DESIGNATION / TEXT) + 1e-6)
        shapes: list[Shape] = [Text(x, y - 4.3, shortened(name, name_most), DESIGNATION, bold=True)]
        feeds = [f"from {branch.origin.part}"] if branch.origin else []
        feeds += [f"and from {_listed(branch.also)}"] if branch.also else []
        if feeds:
            shapes.append(Text(x, y - 9.0, shortened(" ".join(feeds), most)))
        if branch.again:
            arrow = stroke((5.0, -1.5), (7.5, 0.0), (5.0, 1.5))
            see = Text(x, y + 6.0, shortened(_see(branch), most))
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


def _units(branch: _Branch) -> Iterator[FedUnit]:
    yield branch.unit
    for child in branch.children:
        if not child.again:
            yield from _units(child)


def _poles_of_divided(trees: Sequence[_Branch]) -> dict[int, str]:
    """The poles of every unit whose part stands in other units with other poles too."""
    units = [unit for tree in trees for unit in _units(tree)]
    paths: dict[str, set[tuple[str, ...]]] = {}
    for unit in units:
        paths.setdefault(unit.part, set()).add(unit.paths)
    return {unit.number: " ".join(unit.paths) for unit in units if len(paths[unit.part]) > 1}


def _depth(branch: _Branch) -> int:
    return 1 + max((_depth(child) for child in branch.children), default=0)


def overview_groups(design: Design, symbols: SymbolSet, paper: Paper) -> list[list[Group]]:
    """The sheets of the overview, each with its groups; none for a plan without power."""
    area = paper.area
    trees = _trees(design)
    if not trees:
        return []
    most = int(area.width / _LEAST)
    rows = int(area.height / _ROW)
    pieces = _pieces(trees, most, rows)
    levels = max(_depth(piece) for piece in pieces)
    cells = [min(_MOST, area.width / levels)] * levels
    poles = _poles_of_divided(trees)
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
    trees = _trees(design)
    if not trees or sum(tree.leaves for tree in trees) * _ROW > room.height:
        return []
    draughtsman = _Draughtsman(design.circuit.parts, symbols, _poles_of_divided(trees), room, ())
    wide = dict.fromkeys(range(max(map(_depth, trees))), _WIDE + _GAP)
    for tree in trees:
        for level, branch in _levels(tree):
            wide[level] = max(wide[level], _text_width(draughtsman, branch) + _GAP, draughtsman.width(branch) + _GAP)
    if sum(wide.values()) > room.width:
        return []
    draughtsman.cells = tuple(wide.values())
    row = 0
    for tree in trees:
        draughtsman.branch(tree, 0, row)
        row += tree.leaves
    return draughtsman.groups


def _levels(branch: _Branch, level: int = 0) -> Iterator[tuple[int, _Branch]]:
    yield level, branch
    for child in branch.children:
        yield from _levels(child, level + 1)


def _text_width(draughtsman: _Draughtsman, branch: _Branch) -> float:
    """Width of the longest words at a symbol [mm]."""
    names = _listed(branch.again) if branch.again else branch.unit.part
    said = [_see(branch) if branch.again else draughtsman.words(branch.unit)]
    said += [f"and from {_listed(branch.also)}"] if branch.also else []
    return max(len(names) * _CHAR * DESIGNATION / TEXT, *(len(words) * _CHAR for words in said))
