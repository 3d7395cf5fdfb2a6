"""The power of the whole machine on one line: from the inlet over protection and supplies to drives and loads."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, field

from wiring.circuit.model import Circuit, Conductor, Node
from wiring.circuit.roles import Role
from wiring.design.design import Design
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
from wiring.parts.drives import Drive
from wiring.parts.elements import Function, Link, Pole, Switch
from wiring.parts.incoming import Inlet
from wiring.parts.traits import SheetFunction, SymbolForm

_ROLES = (Role.LIVE, Role.PLUS, Role.AC, Role.MOTOR)
_ROW, _LEAST, _MOST, _WIDE = 17.5, 26.0, 40.0, 10.0
_CHAR = ADVANCE * TEXT
#: Terminals by which power leaves a part that has no poles.
_EXITS = (Function.LINE, Function.DC_PLUS, Function.THROUGH)


@dataclass(slots=True)
class _Branch:
    part: str
    children: list[_Branch] = field(default_factory=list)
    origin: str = ""

    @property
    def leaves(self) -> int:
        return max(1, sum(child.leaves for child in self.children))


def _is_terminal_row(part: Part) -> bool:
    return part.data.symbol.form is SymbolForm.STRIP and part.data.sheet_function is not SheetFunction.BOND


def _is_pole(part: Part, path: Pole | Switch) -> bool:
    return path.a in part.terminals and part.terminals[path.a].function is Function.POLE


class _Follower:
    """Follows the power: everything on the net behind a part is fed by it, and leads on by its other terminals."""

    def __init__(self, design: Design) -> None:
        self.circuit: Circuit = design.circuit
        self.roles = design.roles
        self.seen: set[str] = set()
        self.links: dict[Node, list[Node]] = {}
        for inner in self.circuit.inner:
            if isinstance(inner.element, Link) and _is_terminal_row(self.circuit.parts[inner.part]):
                self.links.setdefault(inner.a, []).append(inner.b)
                self.links.setdefault(inner.b, []).append(inner.a)

    def net(self, starts: list[Node]) -> list[Node]:
        """What conductors of power and bridges of terminals join to the starts, in the order it is reached."""
        queue = deque(starts)
        found = dict.fromkeys(starts)
        while queue:
            node = queue.popleft()
            edges = (e for e in self.circuit.edges_at.get(node, ()) if isinstance(e, Conductor))
            far = [edge.other(node) for edge in edges if self.roles.of_conductor(edge) in _ROLES]
            for other in (*far, *self.links.get(node, ())):
                if other not in found:
                    found[other] = None
                    queue.append(other)
        return list(found)

    def exits(self, part: Part, entered: set[Node]) -> list[Node]:
        """The terminals by which power leaves a part that was entered at some of its terminals."""
        poles = [e for e in part.elements if isinstance(e, Pole | Switch) and _is_pole(part, e)]
        if poles:
            backwards = any((part.name, pole.b) in entered for pole in poles)
            return [(part.name, pole.a if backwards else pole.b) for pole in poles]
        is_drive = isinstance(part.data, Drive)
        wanted = (Function.MOTOR, Function.LOAD) if is_drive else _EXITS
        if not is_drive and not part.data.passes_power:
            return []
        return [(part.name, t.name) for t in part.terminals.values() if t.function in wanted]

    def tree(self, root: str) -> _Branch:
        """Everything that is fed from a part, breadth first."""
        self.seen.add(root)
        top = _Branch(root)
        queue: deque[tuple[_Branch, set[Node]]] = deque([(top, set())])
        while queue:
            branch, entered = queue.popleft()
            net = self.net(self.exits(self.circuit.parts[branch.part], entered))
            for name in dict.fromkeys(node[0] for node in net):
                part = self.circuit.parts.get(name)
                if part is None or name in self.seen or not part.data.in_power:
                    continue
                here = {node for node in net if node[0] == name}
                if not any(self._takes_power(part, node[1]) for node in here):
                    continue
                self.seen.add(name)
                child = _Branch(name)
                branch.children.append(child)
                queue.append((child, here))
        return top

    def _takes_power(self, part: Part, terminal: str) -> bool:
        function = part.terminals[terminal].function
        return function not in (Function.PE, Function.INPUT, Function.CONTACT) and (
            part.data.symbol.form is not SymbolForm.COIL or function is Function.POLE
        )


def _trees(design: Design) -> list[_Branch]:
    follower = _Follower(design)
    parts = design.circuit.parts
    first = [name for name, part in parts.items() if isinstance(part.data, Inlet)]
    sources = [name for name, part in parts.items() if part.data.separate_source]
    rest = [name for name, part in parts.items() if part.data.in_power]
    return [follower.tree(name) for name in (*first, *sources, *rest) if name not in follower.seen]


def _cut(branch: _Branch, depth: int, rows: int, later: list[_Branch], level: int = 1) -> None:
    """Move what is too deep or too broad for a sheet to trees of their own."""
    if branch.children and (level >= depth or branch.leaves > rows):
        for child in branch.children:
            child.origin = branch.part
        later += branch.children
        branch.children = []
    for child in branch.children:
        _cut(child, depth, rows, later, level + 1)


def _pieces(trees: list[_Branch], depth: int, rows: int) -> list[_Branch]:
    done: list[_Branch] = []
    queue = deque(trees)
    while queue:
        branch = queue.popleft()
        later: list[_Branch] = []
        _cut(branch, depth, rows, later)
        done.append(branch)
        queue.extendleft(reversed(later))
    return done


class _Draughtsman:
    def __init__(self, parts: Mapping[str, Part], symbols: SymbolSet, area: Box, cell: float) -> None:
        self.parts, self.symbols, self.area, self.cell = parts, symbols, area, cell
        self.shapes: list[Shape] = []

    def branch(self, branch: _Branch, level: int, row: float) -> float:
        """Draw a branch from a row on; returns the y of its own line."""
        part = self.parts[branch.part]
        x = self.area.x1 + level * self.cell
        ys = []
        below = row
        for child in branch.children:
            ys.append(self.branch(child, level + 1, below))
            below += child.leaves
        y = ys[0] if ys else self.area.y1 + (row + 0.6) * _ROW
        self._symbol(part, x, y, leads=bool(ys))
        if branch.origin:
            self.shapes.append(Text(x, y - 9.0, shortened(f"from {branch.origin}", self._most())))
        if ys:
            bus = x + self.cell - 2.0
            if len(ys) > 1:
                self.shapes.append(Line(((bus, ys[0]), (bus, ys[-1])), Pen.POWER))
            for child_y in ys:
                start = x + _WIDE if child_y == y else bus
                self.shapes.append(Line(((start, child_y), (x + self.cell, child_y)), Pen.POWER))
        return y

    def _most(self) -> int:
        return int((self.cell - 5.0) / _CHAR)

    def _symbol(self, part: Part, x: float, y: float, leads: bool) -> None:
        name_most = int((self.cell - 5.0) / (_CHAR * DESIGNATION / TEXT))
        self.shapes.append(Text(x, y - 4.3, shortened(part.name, name_most), DESIGNATION, bold=True))
        words = rating(part) or part.data.title or part.kind
        self.shapes.append(Text(x, y + 6.0, shortened(words, self._most())))
        self.shapes += moved_all(self._sign(part, leads), x, y)

    def _sign(self, part: Part, leads: bool) -> list[Shape]:
        form, sign = part.data.symbol.form, part.data.sign()
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
    cell = min(_MOST, area.width / levels)
    sheets: list[list[Group]] = []
    draughtsman = _Draughtsman(design.circuit.parts, symbols, area, cell)
    row = 0
    for piece in pieces:
        if row and row + piece.leaves > rows:
            sheets.append([Group("overview", "", tuple(draughtsman.shapes))])
            draughtsman = _Draughtsman(design.circuit.parts, symbols, area, cell)
            row = 0
        draughtsman.branch(piece, 0, row)
        row += piece.leaves
    return [*sheets, [Group("overview", "", tuple(draughtsman.shapes))]]
