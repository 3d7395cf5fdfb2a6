"""Places of a plan for people: in its own words, `F2 › rating, line 34`, each with the entry as it is written."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from wiring.plan.source import Place
from wiring.plan.whereabouts import Whereabouts
from wiring.reports.lines import cells, clean, head, indented

_CUT = "..."
_ENTRY_INDENT = 2


class Spot(Struct, frozen=True):
    """A place to tell, and what stands there."""

    place: Place
    remark: str = ""


class Setting(Struct, frozen=True):
    """How places and figures are told: where they lie, the plan whose name need not be said, what the page can print,
    the rulebook whose units are used, and whether every place has its column."""

    whereabouts: Whereabouts
    plan: str
    width: int
    encoding: str = "utf-8"
    book: str = ""
    columns: bool = False


def place_words(place: Place, setting: Setting) -> str:
    """`F2 › rating, line 34`; the file where it is another than the plan, the column where nothing else says more."""
    words = setting.whereabouts.words(place)
    elsewhere = "" if place.file == setting.plan else f" of {place.file}"
    if setting.whereabouts.line(place) is None:
        counted = "row" if place.file.lower().endswith(".xlsx") else "line"
        where = f"{counted} {place.line}, column {place.column}{elsewhere}"
    else:
        where = f"line {place.line}{f', column {place.column}' if setting.columns or not words else ''}{elsewhere}"
    return f"{words}, {where}" if words else where


def told_places(spots: Iterable[Spot], setting: Setting, indent: int, label: str = "") -> list[str]:
    """Every place in a line, with its remark, and its entry below unless the one before stands in the same line.

    The lines are clean and at most as wide as the page; `label` stands in the indent of the first one.
    """
    lines: list[str] = []
    last: tuple[str, int] | None = None
    for spot in spots:
        place = spot.place
        told = place_words(place, setting) + (f": {spot.remark}" if spot.remark else "")
        lines += indented(clean(told, setting.encoding), setting.width, indent, "" if lines else label)
        text = setting.whereabouts.line(place)
        if text and (place.file, place.line) != last:
            margin = " " * (indent + _ENTRY_INDENT)
            lines.append(margin + entry(text, place, setting.width - len(margin), setting.encoding))
        last = place.file, place.line
    return [line.rstrip() for line in lines]


def entry(text: str, place: Place, room: int, encoding: str) -> str:
    """The line itself without its indent where it fits into `room` columns, else the part around the place."""
    first = min(max(place.column, 1) - 1, len(text))
    start = len(text) - len(text.lstrip())
    before = clean(text[max(min(start, first), first - 2 * room) : first], encoding)
    after = clean(text[first : first + 2 * room].rstrip(), encoding)
    whole = first - start <= 2 * room
    if whole and cells(before) + cells(after) <= room and len(text) <= first + 2 * room:
        return before + after
    return _cut(before, after, room, whole)


def _cut(before: str, after: str, room: int, whole: bool) -> str:
    """Up to a third of the room for what stands before the place, the remainder for what follows."""
    kept = before if whole and cells(before) <= room // 3 else _CUT + _tail(before, room // 3 - len(_CUT))
    left = room - cells(kept)
    return kept + (after if cells(after) <= left else head(after, left - len(_CUT)) + _CUT)


def _tail(text: str, room: int) -> str:
    while cells(text) > max(room, 0):
        text = text[1:]
    return text
