"""Sheets of terminal strips and cables: a block a strip, its points in physical order, and a block a cable.

A row reads from left to right: where the wire leads, its number, the terminal with its bridge, the wire at the other
side, and where that leads.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from wiring.book_words import in_book
from wiring.circuit.model import Conductor, Node, named
from wiring.design.design import Design
from wiring.drawing.conductor_words import Places, label_shapes
from wiring.drawing.content import Content
from wiring.drawing.labels import SIGN, mark_text, size_text, target_text, wire_label
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import (
    ADVANCE,
    DESIGNATION,
    TEXT,
    Box,
    Group,
    Line,
    Oval,
    Pen,
    Shape,
    Text,
    moved_all,
    rectangle,
    shortened,
)
from wiring.drawing.shapes import (
    places as places_of,
)
from wiring.drawing.strips import bridges, sides, strips
from wiring.drawing.symbols.glyph import stroke
from wiring.parts.base import Part
from wiring.wording import natural

_ROW, _HEAD, _GAP = 5.0, 8.0, 3.0
#: From the left: the box of the terminal, the wire at its left, and the whole block [mm].
_BOX, _BOX_WIDE, _LEAD, _WIDE = 76.0, 16.0, 3.0, 169.0
_MOST_NAME = 40
#: Own choice: the part of a column that a block may leave empty so as to stay whole.
_EMPTY = 2 / 5


class _Row(Struct, frozen=True):
    """One row of a block, its shapes about a base line at y = 0; `kind` and `id` name its group."""

    kind: str
    id: str
    shapes: tuple[Shape, ...]


class _Block(Struct, frozen=True):
    """A strip or a cable: its heading and its rows."""

    name: str
    title: str
    rows: tuple[_Row, ...]


def _where(conductor: Conductor, far: Node, places: Places) -> str:
    end = 0 if conductor.a == far else 1
    sheet, zone = places.of_end((conductor.id, end))
    return f"{target_text(far)} {SIGN} {sheet}/{zone}"


def _wire(conductor: Conductor, far: Node, places: Places, *, left: bool) -> list[Shape]:
    """A wire at one side of a terminal, with what lies at its far end."""
    label, words = wire_label(conductor), _where(conductor, far, places)
    if left:
        start = _BOX - _LEAD - 1.0 - label.width
        line = stroke((_BOX - _LEAD, -1.2), (_BOX, -1.2), pen=Pen.WIRE)
        return [
            line,
            *label_shapes(label, start, 0.0),
            Text(start - 2.0, 0.0, _fitting(words, start - 2.0), anchor="end"),
        ]
    edge = _BOX + _BOX_WIDE
    line = stroke((edge, -1.2), (edge + _LEAD, -1.2), pen=Pen.WIRE)
    start = edge + _LEAD + 1.0
    far_x = start + label.width + 2.0
    return [line, *label_shapes(label, start, 0.0), Text(far_x, 0.0, _fitting(words, _WIDE - far_x))]


def _fitting(words: str, room: float) -> str:
    return shortened(words, int(room / (ADVANCE * TEXT)))


def _box(text: str) -> list[Shape]:
    frame = rectangle(Box(_BOX, -3.7, _BOX + _BOX_WIDE, 1.3))
    if not text:
        return [frame]
    return [frame, Text(_BOX + 1.2, 0.0, mark_text(text), bold=True)]


def _strip(design: Design, part: Part, places: Places) -> _Block:
    bridge = bridges(part)
    rows: list[_Row] = []
    before = ""
    for point in part.terminals:
        node = (part.name, point)
        inner, outer = sides(design.circuit.conductors_at(node))
        run = bridge.get(point, "")
        for n in range(max(1, len(inner), len(outer))):
            shapes = _box(point if n == 0 else "")
            shapes += _wire(inner[n], inner[n].other(node), places, left=True) if n < len(inner) else []
            shapes += _wire(outer[n], outer[n].other(node), places, left=False) if n < len(outer) else []
            if run:
                shapes += _bridge(n == 0, bool(before) and before == run)
            if n == 0 and not inner and not outer:
                shapes.append(Text(_BOX + _BOX_WIDE + 4.0, 0.0, "spare"))
            rows.append(_Row("terminal", named(node), tuple(shapes)))
            before = run
    return _Block(part.name, part.data.title, tuple(rows))


def _bridge(dot: bool, on: bool) -> list[Shape]:
    """The bar that joins a point to the one before it, where it is on the same bridge."""
    x = _BOX + _BOX_WIDE - 2.5
    bar: list[Shape] = [Line(((x, -1.2 - _ROW), (x, -1.2)), Pen.SYMBOL)] if on else []
    return [*bar, Oval(x, -1.2, 0.7, 0.7, Pen.HAIR, True)] if dot else bar


def _cable(design: Design, name: str, cores: Sequence[Conductor], places: Places) -> _Block:
    """The cores of a cable, each with its end in the cabinet at the left."""
    first = cores[0]
    rows = []
    for core in cores:
        near, far = sorted(core.ends, key=lambda node: _distance(design, node))
        label = wire_label(core)
        middle = [Text(_BOX - 4.0, 0.0, shortened(label.number, 10), bold=True), Text(_BOX + 14.0, 0.0, label.rest)]
        left = Text(_BOX - 8.0, 0.0, _fitting(_where(core, near, places), _BOX - 8.0), anchor="end")
        at = _BOX + _BOX_WIDE + 18.0
        right = Text(at, 0.0, _fitting(_where(core, far, places), _WIDE - at))
        rows.append(_Row("core", core.id, (left, *middle, right)))
    length = in_book(f", {first.length_m:g} m", design.plan.rulebook) if first.length_m else ""
    return _Block(name, f"{first.cores}×{size_text(first)}{length} {first.title}".strip(), tuple(rows))


def _distance(design: Design, node: Node) -> int:
    """How far from the plate in the cabinet a terminal is; the ring of a shield lies along its cable."""
    part = design.parts.get(node[0])
    return ("cabinet", "door", "", "machine", "outside").index(part.data.at if part else "")


def _blocks(design: Design, places: Places) -> Iterator[_Block]:
    for part in strips(design):
        if any(design.circuit.conductors_at((part.name, point)) for point in part.terminals):
            yield _strip(design, part, places)
    cables: dict[str, list[Conductor]] = {}
    for conductor in design.circuit.conductors:
        if conductor.cable:
            cables.setdefault(conductor.cable, []).append(conductor)
    for name in sorted(cables, key=natural):
        yield _cable(design, name, sorted(cables[name], key=lambda core: natural(core.id)), places)


class _Writer:
    """Sets blocks in columns, from sheet to sheet."""

    def __init__(self, area: Box) -> None:
        self.area = area
        self.columns = max(1, int(area.width / _WIDE))
        self.sheets: list[list[Group]] = [[]]
        self.names: list[list[str]] = [[]]
        self.column, self.y = 0, area.y1

    def _next(self) -> None:
        self.column, self.y = self.column + 1, self.area.y1
        if self.column == self.columns:
            self.column = 0
            self.sheets.append([])
            self.names.append([])

    def block(self, block: _Block) -> None:
        """A block stays whole where a column holds it and little of the column before stays empty; of one that is
        torn at least three rows begin."""
        rows = list(block.rows)
        whole, room = _HEAD + _ROW * len(rows), self.area.y2 - self.y
        is_kept = whole <= self.area.height and room < self.area.height * _EMPTY
        if room < (whole if is_kept else _HEAD + _ROW * min(3, len(rows))):
            self._next()
        words = block.title
        while rows:
            room = max(1, int((self.area.y2 - self.y - _HEAD) / _ROW))
            self._part(block.name, words, rows[:room])
            rows, words = rows[room:], "continued"
            if rows:
                self._next()
        self.y += _GAP

    def _part(self, name: str, words: str, rows: Sequence[_Row]) -> None:
        x = self.area.x1 + self.column * self.area.width / self.columns
        designation = shortened(name, _MOST_NAME)
        title = max(22.0, ADVANCE * DESIGNATION * places_of(designation) + 3.0)
        heading = (
            Text(x, self.y + 3.5, designation, DESIGNATION, bold=True),
            Text(x + title, self.y + 3.5, _fitting(words, _WIDE - title)),
        )
        self.sheets[-1].append(Group("words", name, heading))
        self.names[-1].append(name)
        self.y += _HEAD
        for row in rows:
            self.sheets[-1].append(Group(row.kind, row.id, moved_all(row.shapes, x, self.y)))
            self.y += _ROW


def strip_contents(design: Design, places: Places, paper: Paper) -> list[Content]:
    """The sheets of strips and cables; none for a plan without them."""
    writer = _Writer(paper.area)
    for block in _blocks(design, places):
        writer.block(block)
    found = []
    for groups, names in zip(writer.sheets, writer.names, strict=True):
        if groups:
            shown = list(dict.fromkeys(names))
            title = shown[0] if len(shown) == 1 else f"{shown[0]} to {shown[-1]}"
            found.append(Content(f"Terminals and cables {title}", "strip", tuple(groups)))
    return found
