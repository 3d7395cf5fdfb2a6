"""Suggested sizes and what is left, for people and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from wiring.book_words import in_book
from wiring.documents.cost import cost_of
from wiring.reports.change_report import print_cost, print_findings
from wiring.reports.json_report import finding_data, rounded
from wiring.reports.lines import cells, shortened
from wiring.reports.page import Page
from wiring.reports.terminal import print_cautions
from wiring.reports.words import figure
from wiring.wording import counted

if TYPE_CHECKING:
    from wiring.changes.room import Room, Rooms
    from wiring.changes.room_axes import AxisRoom
    from wiring.changes.suggest import Suggestion, Suggestions

_TITLES = {
    "supply": "Supplies",
    "transformer": "Transformers",
    "device": "Fuses and breakers",
    "protector": "Motor protectors",
    "drive": "Drives",
    "contact": "Contactors and main switch",
    "terminals": "Terminals",
    "conductor": "Conductors",
    "fan": "Cabinet",
    "cabinet": "Enclosure, by the room that its parts take",
}
_LONGEST_BAR = 24
_LONGEST_NAME = 18


def suggestions_data(found: Suggestions, out: str = "") -> dict[str, Any]:
    """The suggestions as plain data."""
    return {
        "format": 1,
        "plan": found.base.file,
        "headroom": found.headroom,
        "suggestions": [
            {
                "sort": row.sort,
                "name": row.name,
                "now": row.before,
                "suggested": row.after or None,
                "next_smaller": row.below or None,
                "why": row.why,
            }
            for row in found.rows
        ],
        "cost": cost_of(found.base.design, found.result.design).data,
        "clear": found.clear,
        "findings": [finding_data(finding) for finding in found.result.standing.values()],
        "out": out or None,
    }


def render_suggestions(found: Suggestions, *, width: int, colour: bool, out: str = "", encoding: str = "utf-8") -> str:
    """The smallest steps that pass, by sort of part, in lines of at most `width` columns."""
    page = Page(width, encoding)
    free = f"{100 * found.headroom:.3g} %"
    page.text(f"Smallest standard sizes that pass, with {free} of supplies, fuses and breakers left free")
    page.blank()
    for sort, title in _TITLES.items():
        rows = [row for row in found.rows if row.sort == sort]
        if rows:
            page.text(title)
            least = [row for row in rows if row.after and not row.changed and not row.why]
            for row in rows:
                if row not in least:
                    _print_suggestion(page, row, found.base.design.plan.rulebook)
            if least:
                names = ", ".join(f"{row.name} ({row.after})" for row in least)
                page.text(f"stay as they are: {names}", 4, "  -")
            page.blank()
    if not found.rows:
        page.text("All that was asked for stays as it is.")
        page.blank()
    print_cost(page, found.base.design, found.result.design)
    standing = list(found.result.standing.values())
    if found.clear:
        page.text("With all of these the plan is solved again and is clear.")
    else:
        page.text("With all of these the plan is solved again; what stands then:")
        for finding in standing:
            page.text(f"{finding.signal} {finding.rule}: {finding.summary}.", 4, "  -")
    if out:
        page.text(f"Written: {out}")
    print_cautions(page)
    return page.render(colour)


def _print_suggestion(page: Page, row: Suggestion, book: str) -> None:
    why = in_book(row.why, book)
    if not row.after:
        page.text(f"{row.name}: no step passes; {row.before} now. {why}.", 4, "  -")
        return
    change = f"{row.before} -> {row.after}" if row.changed else f"{row.after} stays"
    why = f"{row.below} fails: {why}." if row.below and why else ""
    page.text(f"{row.name}: {change}. {why}".rstrip(), 4, "  -")


def rooms_data(found: Rooms, plot: str = "") -> dict[str, Any]:
    """What is left, as plain data; watts are null where no limit was met."""
    data: dict[str, Any] = rounded(
        {
            "format": 1,
            "plan": found.base.file,
            "supplies": [_room_data(row) for row in found.supplies],
            "feeds": [_room_data(row) for row in found.feeds],
            "axes": [
                {
                    "motor": row.motor,
                    "more": row.count,
                    "limit": row.limit or None,
                    "no_place": list(row.blocked),
                    "sizes_bear": row.count if row.borne is None else row.borne,
                    "sizes_limit": (row.limit if row.borne is None else row.then) or None,
                }
                for row in found.axes
            ],
        }
    )
    return data | {"untried": found.untried or None, "plot": plot or None}


def _room_data(row: Room) -> dict[str, Any]:
    return {
        "name": row.name,
        "loaded_at": row.where,
        "used_w": row.used_w,
        "average_w": row.average_w,
        "peak_w": row.peak_w,
        "left_w": row.watts,
        "limit": row.limit or None,
    }


def render_rooms(found: Rooms, *, width: int, colour: bool, plot: str = "", encoding: str = "utf-8") -> str:
    """What is left as bars, each with its first limit, in lines of at most `width` columns."""
    page = Page(width, encoding)
    page.text("Room left up to the first limit")
    page.text("# average, = heaviest state, | all axes accelerating (> more), . free", 2)
    page.blank()
    _print_rooms(page, "Supplies, loaded at their own terminals", found.supplies)
    _print_rooms(page, "Feeds, loaded at the heaviest load behind the device", found.feeds)
    if found.untried:
        page.text(f"Supplies and feeds could not be loaded: {found.untried}.")
        page.blank()
    if found.axes:
        page.text("More axes of the same kind")
        for row in found.axes:
            _print_axis(page, row)
        page.blank()
    if found.base.standing:
        page.text("The plan has findings already, those about stops apart; what is told here comes on top of them.")
        print_findings(page, tuple(found.base.standing.values()), ())
    if plot:
        page.text(f"Written: {plot}")
    print_cautions(page)
    return page.render(colour)


def _bar(page: Page, row: Room) -> str:
    room = max(8, min(_LONGEST_BAR, page.width - 50))
    if row.watts is None:
        return f"[{'?' * room}]"
    whole = max(row.used_w + row.watts, 1e-9)
    average, used = (min(round(room * watts / whole), room) for watts in (row.average_w, row.used_w))
    bar = "#" * average + "=" * (used - average) + "." * (room - used)
    if row.peak_w is not None and row.peaks:
        at = max(min(round(room * row.peak_w / whole), room), 1)
        bar = bar[: at - 1] + ("|" if row.peak_w <= whole else ">") + bar[at:]
    return f"[{bar}]"


def _print_rooms(page: Page, title: str, rows: Sequence[Room]) -> None:
    if not rows:
        return
    page.text(title)
    names = [shortened(page.clean(row.name), _LONGEST_NAME) for row in rows]
    room = max(map(cells, names))
    used = [figure(row.used_w, "W") for row in rows]
    most = max(map(len, used))
    for row, name, now in zip(rows, names, used, strict=True):
        left = "no limit met" if row.left_w is None else f"{figure(row.left_w, 'W')} more"
        line = f"  {name}{' ' * (room - cells(name))} {now:>{most}} {_bar(page, row)} {left}"
        if cells(line) <= page.width:
            page.lines([line])
        else:
            page.text(f"{now} {left}", room + 3, f"  {name}")
        if row.limit:
            page.text(f"{row.limit}.", room + 3)
    page.blank()


def _print_axis(page: Page, row: AxisRoom) -> None:
    more = f"{counted(row.count, 'axis', 'axes')} more like {row.motor}"
    if row.limit:
        more += f"; with one more: {row.limit}"
    elif not row.blocked or row.count:
        more += " and no limit met"
    page.text(f"{more}.", 4, "  -")
    for words in row.blocked:
        if not row.limit.endswith(words):
            page.text(f"{words}.", 6)
    if row.borne is not None:
        limit = f"with one more: {row.then}" if row.then else "no limit met"
        page.text(f"With a place for them all sizes bear {row.borne} more; {limit}.", 6)
