"""The lines of the plan that a finding or a fault is about, with marks under the words meant. ASCII marks only."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from wiring.plan.source import Place, Source
from wiring.reports.lines import cells, clean, head, indented

_NUMBER_WIDTH = 6
_GUTTER = " " * _NUMBER_WIDTH + " | "
_CUT = "..."


class Mark(Struct, frozen=True):
    """A place to show, what to write beside it, and the sign drawn under it."""

    place: Place
    label: str = ""
    sign: str = "^"


class _Window(Struct, frozen=True):
    """The part of a line that fits, and the columns of the mark in it."""

    text: str
    start: int
    length: int


def excerpt(marks: Iterable[Mark], sources: Mapping[str, Source], width: int, encoding: str = "utf-8") -> list[str]:
    """Lines of at most `width` columns; a place whose text is not at hand is named in words."""
    lines: list[str] = []
    file, shown = "", ""
    for number, mark in enumerate(marks):
        text = _text_at(mark.place, sources)
        if text is None:
            lines += _named(mark, width, encoding)
            continue
        if mark.place.file != file and number:
            lines += indented(f"in {clean(mark.place.file, encoding)}", width, _NUMBER_WIDTH + 1)
        window = _window(text, mark.place, width - len(_GUTTER), encoding)
        numbered = f"{mark.place.line:>{_NUMBER_WIDTH}} | {window.text}".rstrip()
        lines += [] if (file, numbered) == (mark.place.file, shown) else [numbered]
        lines += _marking(window, mark.sign, clean(mark.label, encoding), width)
        file, shown = mark.place.file, numbered
    return lines


def _text_at(place: Place, sources: Mapping[str, Source]) -> str | None:
    source = sources.get(place.file)
    if source is None or not 1 <= place.line <= len(source.lines):
        return None
    return source.lines[place.line - 1]


def _named(mark: Mark, width: int, encoding: str) -> list[str]:
    label = f": {mark.label}" if mark.label else ""
    return indented(clean(f"{mark.place}{label}", encoding), width, _NUMBER_WIDTH + 1)


def _window(text: str, place: Place, room: int, encoding: str) -> _Window:
    """The line itself where it fits, else the part around the mark."""
    first = min(max(place.column, 1) - 1, len(text))
    before = clean(text[max(0, first - 2 * room) : first], encoding)
    marked = clean(text[first : first + min(max(place.length, 1), 2 * room)], encoding)
    after = clean(text[first + max(place.length, 1) :][: 2 * room], encoding)
    whole = first <= 2 * room
    if whole and cells(before) + cells(marked) + cells(after) <= room:
        return _Window(before + marked + after, cells(before), max(cells(marked), 1))
    return _cut_window(before, marked + after, cells(marked), room, whole)


def _cut_window(before: str, rest: str, marked: int, room: int, whole: bool) -> _Window:
    """Up to a third of the room for what stands before the mark, the remainder for the mark and what follows."""
    kept = before if whole and cells(before) <= room // 3 else _CUT + _tail(before, room // 3 - len(_CUT))
    left = room - cells(kept)
    shown = rest if cells(rest) <= left else head(rest, left - len(_CUT)) + _CUT
    return _Window(kept + shown, cells(kept), max(1, min(marked, cells(shown))))


def _tail(text: str, room: int) -> str:
    while cells(text) > max(room, 0):
        text = text[1:]
    return text


def _marking(window: _Window, sign: str, label: str, width: int) -> list[str]:
    """The mark, with its label behind it where that fits and below it otherwise."""
    mark = f"{_GUTTER}{' ' * window.start}{sign * window.length}"
    if not label:
        return [mark]
    if len(mark) + 1 + cells(label) <= width:
        return [f"{mark} {label}"]
    start = len(_GUTTER) + min(window.start, max(0, width - len(_GUTTER) - cells(label)))
    below = indented(label, width, start)
    return [mark, *(_GUTTER.rstrip() + line[len(_GUTTER) - 1 :] for line in below)]
