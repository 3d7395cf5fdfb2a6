"""Border with zones (ISO 5457), title block (ISO 7200) and the strip of findings at the foot of a sheet."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from wiring.drawing.content import Content
from wiring.drawing.paper import BORDER, Paper
from wiring.drawing.shapes import ADVANCE, TEXT, Box, Group, Line, Pen, Shape, Text, rectangle, shortened, wrapped
from wiring.drawing.symbols.glyph import stroke

_LINE = 3.7
_CHAR = ADVANCE * TEXT


#: What a sheet is by its kind, in the words of IEC 61082-1 where it has one.
DOCUMENT_TYPES = {
    "cover": "title page",
    "legend": "list of symbols",
    "overview": "overview diagram",
    "enclosure": "arrangement drawing",
    "circuit": "circuit diagram",
    "strip": "connection table",
    "findings": "list of findings",
}


class TitleBlock(Struct, frozen=True):
    """The fields of ISO 7200 that this set fills."""

    owner: str
    creator: str
    title: str
    identification: str
    revision: str
    date: str


def border(paper: Paper, *, has_lines: bool = False) -> Group:
    """Frame line, zone border with letters and numbers, centring marks; at the left the numbers of lines, if asked."""
    frame = paper.frame
    outer = Box(frame.x1 - BORDER, frame.y1 - BORDER, frame.x2 + BORDER, frame.y2 + BORDER)
    shapes: list[Shape] = [rectangle(frame, Pen.FRAME), rectangle(outer, Pen.SYMBOL)]
    step = frame.width / paper.across
    for n in range(paper.across):
        x = frame.x1 + n * step
        for top in (outer.y1, frame.y2):
            if n:
                shapes.append(stroke((x, top), (x, top + BORDER)))
            shapes.append(Text(x + step / 2, top + 3.8, str(n + 1), 3.5, "middle"))
    step = frame.height / paper.down
    for n in range(paper.down):
        y = frame.y1 + n * step
        for left in (frame.x2,) if has_lines else (outer.x1, frame.x2):
            if n:
                shapes.append(stroke((left, y), (left + BORDER, y)))
            shapes.append(Text(left + BORDER / 2, y + step / 2 + 1.3, paper.letter(n), 3.5, "middle"))
    for number, top in paper.lines if has_lines else ():
        shapes.append(stroke((outer.x1, top), (frame.x1, top), pen=Pen.HAIR))
        shapes.append(Text(outer.x1 + BORDER / 2, top + 5.9, number, anchor="middle"))
    return Group("frame", "", tuple(shapes))


def _cell(box: Box, name: str, value: str, size: float = TEXT, bold: bool = True) -> list[Shape]:
    most = max(1, int((box.width - 2.0) / (_CHAR * size / TEXT)))
    shapes: list[Shape] = [rectangle(box, Pen.SYMBOL)]
    if name:
        shapes.append(Text(box.x1 + 1.0, box.y1 + 2.9, shortened(name, int((box.width - 2.0) / _CHAR))))
    if value:
        shapes.append(Text(box.x1 + 1.0, box.y2 - 1.5, shortened(value, most), size, bold=bold))
    return shapes


def title_block(paper: Paper, fields: TitleBlock, content: Content, number: int, count: int) -> Group:
    """The title block of the sheet that shows a content."""
    box = paper.title
    rows = (
        (
            ("owner", fields.owner, 0.32),
            ("title", fields.title, 0.40),
            ("document type", DOCUMENT_TYPES[content.kind], 0.28),
        ),
        (("creator", fields.creator, 0.22), ("approved by", "", 0.20), ("shows", content.title, 0.58)),
        (
            ("identification", fields.identification, 0.28),
            ("revision", fields.revision, 0.12),
            ("date of issue", fields.date, 0.18),
            ("language", "en", 0.12),
            ("paper", paper.name, 0.14),
            ("sheet", f"{number} / {count}", 0.16),
        ),
    )
    shapes: list[Shape] = [rectangle(box, Pen.FRAME)]
    height = box.height / len(rows)
    for n, row in enumerate(rows):
        x = box.x1
        for name, value, share in row:
            cell = Box(x, box.y1 + n * height, x + share * box.width, box.y1 + (n + 1) * height)
            shapes += _cell(cell, name, value)
            x = cell.x2
    return Group("title", "", tuple(shapes))


class StripEntry(Struct, frozen=True):
    """One finding as the strip tells it."""

    number: int
    signal: str
    summary: str


def _fitting(entries: Sequence[StripEntry], most: int, lines: int, further: str) -> list[str]:
    """The text of the strip: in full where it fits, else one line each, else with a word on where the rest is."""
    full = [line for entry in entries for line in wrapped(_sentence(entry), most)]
    if len(full) <= lines:
        return full
    short = [shortened(_sentence(entry), most) for entry in entries]
    if len(short) <= lines - 1:
        return [*short, further]
    return [*short[: lines - 1], shortened(f"{len(short) - lines + 1} more here; {further}", most)]


def _sentence(entry: StripEntry) -> str:
    return f"{entry.number} {entry.signal}: {entry.summary}"


def strip(paper: Paper, entries: Sequence[StripEntry], further: str) -> Group:
    """The findings of a sheet at its foot; empty where it has none."""
    box = paper.strip
    if not entries:
        return Group("strip", "", ())
    most = int((box.width - 4.0) / _CHAR)
    lines = int((box.height - 2.0) / _LINE)
    shapes: list[Shape] = [rectangle(box, Pen.SYMBOL)]
    for n, line in enumerate(_fitting(entries, most, lines, further)):
        shapes.append(Text(box.x1 + 2.0, box.y1 + 3.4 + n * _LINE, line))
    return Group("strip", "", tuple(shapes))


def triangle(x: float, y: float, number: int) -> Group:
    """The mark of a finding: a triangle with its number behind it, from x on the base line y."""
    corners = ((x, y), (x + 2.6, y), (x + 1.3, y - 2.3))
    text = str(number)
    return Group("finding", text, (Line(corners, Pen.HAIR, True, True), Text(x + 3.0, y, text, bold=True)))
