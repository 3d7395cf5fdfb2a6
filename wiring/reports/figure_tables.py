"""Figures before and after a change, as tables for people and as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from wiring.reports.json_report import rounded
from wiring.reports.page import Grid, Page
from wiring.reports.words import figure, share
from wiring.wording import counted, natural

if TYPE_CHECKING:
    from wiring.changes.compare import Figure

#: A figure that moves by less than this share is told as unchanged.
_MOVED = 0.005
_MOST_CONDUCTORS = 8
_ARROW = "->"


def figure_data(one: Figure) -> dict[str, Any]:
    """One figure before and after as plain data."""
    data: dict[str, Any] = rounded(
        {
            "section": one.section,
            "subject": one.subject,
            "state": one.state,
            "unit": one.unit,
            "before": one.before,
            "after": one.after,
            "limit": one.limit,
            "limit_before": one.limit_before,
        }
    )
    return data


def print_figures(page: Page, figures: Sequence[Figure]) -> None:
    """Every figure that moved, by supplies, devices, conductors, what else, and points left."""
    _print_supplies(page, figures)
    _print_devices(page, figures)
    _print_conductors(page, figures)
    _print_rest(page, figures)
    _print_points(page, figures)


def moved(one: Figure) -> bool:
    """Whether a figure, or what it may be, moved far enough to be told."""
    return _differ(one.before, one.after) or (one.before is not None and _differ(one.limit_before, one.limit))


def _differ(before: float | None, after: float | None) -> bool:
    if before is None or after is None:
        return before is not after
    return abs(after - before) > _MOVED * max(abs(before), abs(after))


def _limit(one: Figure) -> str:
    """What a figure may be, before and after where that changed."""
    return figure(one.limit, "A") if one.limit_before is None else both(one.limit_before, one.limit, "A")


def amps(before: float | None, after: float | None) -> str:
    """The same in ampere, without the unit, for a column that names it."""
    return both(before, after, "A").replace(" A", "")


def both(before: float | None, after: float | None, unit: str) -> str:
    """ "6.1 A -> 7.4 A"; "new 7.4 A" where there was nothing before, "gone" where nothing is left."""
    if after is None:
        return "gone"
    if before is None:
        return f"new {figure(after, unit)}"
    first, second = figure(before, unit), figure(after, unit)
    return first if first == second else f"{first} {_ARROW} {second}"


def _rows(figures: Sequence[Figure], section: str) -> list[Figure]:
    return [one for one in figures if one.section == section]


def _unmoved(page: Page, rows: Sequence[Figure], names: bool = False) -> None:
    still = [one for one in rows if not moved(one)]
    if not still:
        return
    which = f": {', '.join(dict.fromkeys(one.subject for one in still))}" if names else ""
    page.text(f"{counted(len(still), 'row')} unchanged{which}", 2)


def _print_supplies(page: Page, figures: Sequence[Figure]) -> None:
    loads = _rows(figures, "supply")
    peaks = {(one.subject, one.state): one for one in _rows(figures, "peak")}
    told = [one for one in loads if moved(one) or moved(peaks[one.subject, one.state])]
    if not loads:
        return
    page.text("Supplies, before -> after; available means after derating")
    rows = []
    for one in told:
        peak = peaks[one.subject, one.state]
        headroom = None if not one.limit or one.after is None else 1.0 - one.after / one.limit
        rows.append(
            (
                one.subject,
                one.state,
                amps(one.before, one.after),
                amps(peak.before, peak.after),
                _limit(one),
                share(headroom),
            )
        )
    if rows:
        page.grid(Grid(("Supply", "State", "Load, A", "Peak, A", "Available", "Headroom"), tuple(rows), 2))
    _unmoved(page, [one for one in loads if one not in told], names=True)
    page.blank()


def _print_devices(page: Page, figures: Sequence[Figure]) -> None:
    rows = _rows(figures, "device")
    told = [one for one in rows if moved(one)]
    if not told:
        return
    page.text("Fuses and breakers")
    cells = tuple((one.subject, both(one.before, one.after, "A"), _limit(one)) for one in told)
    page.grid(Grid(("Device", "Load", "Rating"), cells))
    _unmoved(page, rows, names=True)
    page.blank()


def _use(one: Figure) -> float:
    return one.after / one.limit if one.after is not None and one.limit else 0.0


def _bundles(rows: Sequence[Figure]) -> list[tuple[str, Figure]]:
    """Conductors of one cable or wire with the same figures as one: C6.1 to C6.4."""
    bundles: dict[tuple[str, str, float | None], list[Figure]] = {}
    for one in rows:
        key = (one.subject.partition(".")[0], both(one.before, one.after, "A"), one.limit)
        bundles.setdefault(key, []).append(one)
    return [(_span([one.subject for one in bundle]), bundle[0]) for bundle in bundles.values()]


def _span(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"


def _print_conductors(page: Page, figures: Sequence[Figure]) -> None:
    moving = sorted((one for one in _rows(figures, "conductor") if moved(one)), key=lambda one: -_use(one))
    told = _bundles(moving)
    if not told:
        return
    page.text("Conductors that carry more or less, the hardest used first")
    cells = tuple(
        (name, amps(one.before, one.after), _limit(one), share(_use(one) if one.limit else None))
        for name, one in told[:_MOST_CONDUCTORS]
    )
    page.grid(Grid(("Conductor", "Current, A", "Ampacity", "Use"), cells))
    if len(told) > _MOST_CONDUCTORS:
        page.text(f"and {counted(len(told) - _MOST_CONDUCTORS, 'row')} more, less used", 2)
    page.blank()


_NAMES = {
    "mains": ("Mains at {}", "of the building's {}"),
    "voltage": ("Lowest voltage at {}", "works from {}"),
    "bus": ("Bus of {} when all axes brake", "bears {}"),
}


def _print_rest(page: Page, figures: Sequence[Figure]) -> None:
    page.text("Feed, cabinet, drop and braking")
    for one in figures:
        if one.section == "cabinet":
            value = both(one.before, one.after, one.unit)
            if one.after is not None:
                page.text(f"{'Heat in the cabinet' if one.subject == 'heat' else 'Air inside'}: {value}", 4, "  -")
        elif one.section in _NAMES and one.after is not None and (one.section == "mains" or moved(one)):
            name, limit = _NAMES[one.section]
            of = f", {limit.format(figure(one.limit, one.unit))}" if one.limit else ""
            page.text(f"{name.format(one.subject)}: {both(one.before, one.after, one.unit)}{of}", 4, "  -")
    still = [one.subject for one in _rows(figures, "voltage") if not moved(one)]
    if still:
        page.text(f"Lowest voltage at {', '.join(still)}: changes by less than {100 * _MOVED:.1f} %", 4, "  -")
    page.blank()


def _print_points(page: Page, figures: Sequence[Figure]) -> None:
    rows = [one for one in _rows(figures, "points") if one.before != one.after or " " in one.subject]
    if not rows:
        return
    page.text("Points left")
    words = [f"{one.subject} {_free(one)}" for one in sorted(rows, key=lambda one: natural(one.subject))]
    page.text("; ".join(words), 2)
    page.blank()


def _free(one: Figure) -> str:
    after = f"{one.after or 0:.0f}"
    before = after if one.before is None else f"{one.before:.0f}"
    return f"{after} free" if before == after else f"{before} {_ARROW} {after} free"
