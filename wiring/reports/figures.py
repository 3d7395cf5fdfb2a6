"""Tables of what was computed, taken from the plain figures of a report."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wiring.reports.page import Grid
from wiring.reports.words import figure, share
from wiring.wording import natural

Figures = Mapping[str, Any]


def supplies(figures: Figures) -> Grid:
    """Current, peak where one is known, available current after derating and headroom, by supply and state."""
    records = [
        (supply, state, record) for supply, states in _sorted(figures, "supplies") for state, record in states.items()
    ]
    peaks = any("peak_a" in record for _, _, record in records)
    headings = ("Supply", "State", "Load", *(("Peak",) if peaks else ()), "Available", "Headroom")
    rows = tuple((supply, state, *_supply_cells(record, peaks)) for supply, state, record in records)
    return Grid(headings, rows, names=2)


def hardest(figures: Figures) -> Grid:
    """Every supply in the state in which the least is left of it, the least first; one not known comes before all."""
    found = []
    for supply, states in _sorted(figures, "supplies"):
        state, record = min(states.items(), key=lambda one: _known(one[1].get("headroom")))
        found.append((_known(record.get("headroom")), supply, state, record))
    found.sort(key=lambda one: one[0])
    rows = tuple((supply, state, *_supply_cells(record, False)) for _, supply, state, record in found)
    return Grid(("Supply", "State", "Load", "Available", "Headroom"), rows, names=2)


def _known(value: float | None) -> float:
    return float("-inf") if value is None or value != value else float(value)


def _supply_cells(record: Mapping[str, Any], peaks: bool) -> tuple[str, ...]:
    peak = (figure(record.get("peak_a"), "A"),) if peaks else ()
    load, available = figure(record.get("current_a"), "A"), figure(record.get("available_a"), "A")
    return (load, *peak, available, share(record.get("headroom")))


def protection(figures: Figures) -> Grid:
    """What each protective device carries, what a short drives through it, and when it clears."""
    rows = tuple(
        (
            device,
            figure(record.get("load_a"), "A"),
            figure(record.get("fault_a"), "A"),
            figure(record.get("clears_s"), "s"),
        )
        for device, record in _sorted(figures, "protection")
    )
    return Grid(("Device", "Load", "Short circuit", "Clears in"), rows)


def conductors(figures: Figures, book: str = "") -> Grid:
    """Every conductor, the hardest used first; those whose use is not known come before all others."""
    records = sorted(_sorted(figures, "conductors"), key=lambda one: -_sort_use(one[1]))
    rows = tuple(
        (
            conductor,
            figure(record.get("current_a"), "A"),
            figure(record.get("ampacity_a"), "A"),
            share(use(record)),
            figure(record.get("drop_v"), "V"),
            figure(record.get("temperature_c"), "°C", book),
        )
        for conductor, record in records
    )
    return Grid(("Conductor", "Current", "Ampacity", "Use", "Drop", "Temperature"), rows)


def use(record: Mapping[str, Any]) -> float | None:
    """Current over ampacity, as a fraction of 1; None where either is not known or the ampacity is not above 0."""
    current, ampacity = record.get("current_a"), record.get("ampacity_a")
    if current is None or ampacity is None or not ampacity > 0:
        return None
    return abs(float(current)) / float(ampacity)


def _sort_use(record: Mapping[str, Any]) -> float:
    found = use(record)
    return float("inf") if found is None or found != found else found


def enclosure_words(figures: Figures, book: str = "") -> str:
    """Heat, rise and inside temperature in a sentence; "" where nothing was computed."""
    record = figures.get("enclosure")
    if not record:
        return ""
    heat, rise = figure(record.get("heat_w"), "W"), figure(record.get("rise_k"), "K", book)
    return f"{heat} of heat, rise {rise}, inside {figure(record.get('inside_c'), '°C', book)}"


def measured(figures: Figures, book: str = "") -> Grid:
    """Each measured value beside the one that it stands in place of."""
    values = (figures.get("measured") or {}).get("values", ())
    rows = tuple(
        (one["what"], figure(one["computed"], one["unit"], book), figure(one["measured"], one["unit"], book))
        for one in values
    )
    return Grid(("Measured", "Without it", "With it"), rows)


def measured_words(figures: Figures) -> list[str]:
    """What the measured values change of the findings, in a sentence each; none where nothing was measured."""
    told = figures.get("measured")
    if not told:
        return []
    brings, takes = told["brings"], told["takes"]
    if not brings and not takes:
        return ["They bring no finding and take none away."]
    words = [f"They bring: {'; '.join(brings)}."] if brings else []
    return [*words, *([f"They take away: {'; '.join(takes)}."] if takes else [])]


def _sorted(figures: Figures, section: str) -> list[tuple[str, Mapping[str, Any]]]:
    records: Mapping[str, Mapping[str, Any]] = figures.get(section) or {}
    return sorted(records.items(), key=lambda item: natural(item[0]))
