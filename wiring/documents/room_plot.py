"""What is left, as a picture: a bar for every supply and feed, from nothing to its first limit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wiring.changes.room import Room, Rooms
from wiring.documents.typeset import printable
from wiring.drawing.shapes import (
    DESIGNATION,
    TEXT,
    Group,
    Line,
    Pen,
    Shape,
    Sheet,
    Text,
    shortened,
    text_width,
    wrapped,
)
from wiring.drawing.svg import svg_of
from wiring.quantities import show

_MARGIN, _LABEL, _BAR, _GAP, _WORDS = 10.0, 30.0, 72.0, 4.0, 82.0
_WIDTH = 2 * _MARGIN + _LABEL + _BAR + _GAP + _WORDS
_HEAD, _FOOT, _LINE, _APART = 27.0, 6.0, 3.6, 3.0
_THICK = 4.0
_LEFT = _MARGIN + _LABEL
_MOST_LETTERS = int(_WORDS / text_width("x"))
_TITLES = {"supply": "Supplies, loaded at their own terminals", "feed": "Feeds, loaded at the heaviest load behind"}
_KEY = "filled: average · half: heaviest state · tick: peak · open: left up to the first limit"


def room_plot(found: Rooms) -> str:
    """The picture as SVG in millimetres, black on white; nothing is told by colour."""
    y = _HEAD
    groups: list[Group] = []
    for sort, rows in (("supply", found.supplies), ("feed", found.feeds)):
        if rows:
            groups.append(Group("heading", sort, (Text(_MARGIN, y, _TITLES[sort], TEXT, bold=True),)))
            y += _LINE + 1.5
        top = y
        for row in rows:
            shapes, height = _row(row, y)
            groups.append(Group("room", row.name, tuple(shapes)))
            y += height + _APART
        groups.append(Group("scale", sort, tuple(_scale(top - 1.5, y - _APART))))
        y += _APART
    title = f"Room left: {printable(found.base.design.plan.machine)}"
    groups.insert(0, Group("title", "", tuple(_head(title))))
    return svg_of(Sheet(1, title, "room", _WIDTH, y + _FOOT, tuple(groups)))


def _head(title: str) -> Iterator[Shape]:
    most = int((_WIDTH - 2 * _MARGIN) / text_width("x", DESIGNATION))
    yield Text(_MARGIN, 10.0, shortened(title, most), DESIGNATION, bold=True)
    yield Text(_MARGIN, 15.5, _KEY)
    for n in range(5):
        yield Text(_LEFT + _BAR * n / 4, 21.0, f"{25 * n}", TEXT, "middle")
    yield Text(_LEFT + _BAR + _GAP, 21.0, "% of what it bears")


def _scale(top: float, bottom: float) -> Iterator[Shape]:
    for n in range(5):
        x = _LEFT + _BAR * n / 4
        yield Line(((x, top), (x, bottom)), Pen.HAIR)


def _row(row: Room, y: float) -> tuple[list[Shape], float]:
    """The shapes of one row whose bar begins at `y`, and its height."""
    words = [line for text in _sentences(row) for line in wrapped(printable(text), _MOST_LETTERS)]
    base = y + 0.5 * _THICK + 0.35 * TEXT
    letters = int((_LABEL - 2.0) / text_width("x"))
    shapes: list[Shape] = [Text(_MARGIN, base, shortened(printable(row.name), letters), bold=True)]
    shapes += _bar(row, y)
    shapes += [Text(_LEFT + _BAR + _GAP, base + n * _LINE, line) for n, line in enumerate(words)]
    return shapes, max(_THICK, base - y + (len(words) - 1) * _LINE)


def _sentences(row: Room) -> Sequence[str]:
    peak = "" if row.peak_w is None else f", peak {show(row.peak_w, 'power')}"
    used = f"{show(row.used_w, 'power')} at most, average {show(row.average_w, 'power')}{peak}"
    left = row.left_w
    if left is None:
        return used, "no limit met"
    return used, f"{show(left, 'power')} more; then {row.limit}"


def _bar(row: Room, y: float) -> Iterator[Shape]:
    if row.watts is None:
        yield Text(_LEFT + 1.0, y + 0.5 * _THICK + 0.35 * TEXT, "no limit met")
        return
    whole = max(row.used_w + row.watts, 1e-9)
    average, used = (_BAR * min(watts / whole, 1.0) for watts in (row.average_w, row.used_w))
    if used > average:
        yield _box(_LEFT, used, y + 0.25 * _THICK, 0.5 * _THICK, filled=True)
    if average > 0.0:
        yield _box(_LEFT, average, y, _THICK, filled=True)
    yield _box(_LEFT, _BAR, y, _THICK, filled=False)
    if row.peak_w is not None and row.peaks:
        x = _LEFT + _BAR * min(row.peak_w / whole, 1.0)
        yield Line(((x, y - 1.0), (x, y + _THICK + 1.0)), Pen.POWER)
        if row.peak_w > whole:  # beyond the scale: the tick points on
            middle = y + 0.5 * _THICK
            yield Line(((x, middle - 1.0), (x + 2.0, middle), (x, middle + 1.0)), Pen.SYMBOL)


def _box(x: float, wide: float, y: float, high: float, *, filled: bool) -> Line:
    corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return Line(corners, Pen.HAIR if filled else Pen.SYMBOL, closed=True, filled=filled)
