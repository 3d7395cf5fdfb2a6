"""Ampacity by the North American book: NFPA 79 table 12.5.1 on the machine, NFPA 70 table 310.16 for the feed."""

from __future__ import annotations

from functools import cache, lru_cache

from wiring.quantities import WireSize
from wiring.rulebooks.answers import NotTabled, weakest
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.conductors import exchange_note, gauge_size, largest_not_above
from wiring.rulebooks.laying import Laying
from wiring.rulebooks.tables import Row, Table, load

COLUMNS_C = (90.0, 75.0, 60.0)
_ONE_AWG_MM2 = 42.42


def _column(insulation_c: float) -> float | None:
    return next((column for column in COLUMNS_C if column <= insulation_c), None)


@cache
def _sizes(name: str, column_c: float) -> tuple[WireSize, ...]:
    rows = load("na", name).where(insulation_c=column_c)
    return tuple(gauge_size(row.text("system"), row.text("size")) for row in rows)


def terminal_column_c(size: WireSize, terminal_c: float | None) -> float:
    """Column that the terminals allow: 60 °C to 1 AWG and 75 °C above unless they are marked (NFPA 70 110.14(C))."""
    if terminal_c is None:
        return 60.0 if size.area_mm2 <= _ONE_AWG_MM2 else 75.0
    return _column(terminal_c) or 60.0


def _factors(column_c: float, laying: Laying) -> tuple[float, list[Row], str]:
    count = load("na", "conductor_count").at_or_below("conductors_from_count", max(laying.loaded_conductors, 1))
    if count is None:
        raise ValueError("a conductor that carries load counts at least itself")
    bundling = count.number("ampacity_percent") / 100
    ambient = load("na", "ambient").at_or_above("ambient_max_c", laying.ambient_c, insulation_c=column_c)
    if ambient is None:
        return 0.0, [count], f"no {column_c:g} °C conductor at {laying.ambient_c:.3g} °C"
    factor = ambient.number("factor") if laying.location == "feed" else min(ambient.number("factor"), 1.0)
    words = f"x {factor:g} ({laying.ambient_c:.3g} °C)"
    if bundling < 1:
        words += f" x {bundling:g} ({laying.loaded_conductors} loaded conductors together)"
    return factor * bundling, [ambient, count], words


@lru_cache(maxsize=4096)
def ampacity(size: WireSize, insulation_c: float, laying: Laying) -> Limit | NotTabled:
    """Current a conductor may carry in A: its own column with both factors, never above the column of its terminals.

    `insulation_c` from 60 °C; hotter than 90 °C counts as 90 °C, between columns the lower one. Every loaded conductor
    counts, also lightly loaded ones. On a machine nothing is gained below 30 °C, where NFPA 79 has hardly a row.
    Source: NFPA 79 12.5, NFPA 70 310.16, 310.15(B)(1), 310.15(C)(1), 110.14(C).
    """
    name = "ampacity_building" if laying.location == "feed" else "ampacity_machine"
    table = load("na", name)
    column_c = _column(insulation_c)
    if column_c is None:
        return NotTabled(f"the tables begin at 60 °C insulation; this one is for {insulation_c:g} °C")
    judged = largest_not_above(size, _sizes(name, column_c))
    row = table.row(judged.system, judged.label, column_c) if judged else None
    if judged is None or row is None:
        return NotTabled(f"no ampacity is tabled for {size.text} with {insulation_c:g} °C insulation")
    factor, sources, words = _factors(column_c, laying)
    base_a = row.number("ampacity_a")
    note = "; ".join(part for part in (f"{base_a:g} A for {judged.text} {words}", exchange_note(size, judged)) if part)
    full = Limit(base_a * factor, "A", weakest(row.source, *(entry.source for entry in sources)), note)
    return _held_to_terminals(full, table, judged, laying)


def _held_to_terminals(full: Limit, table: Table, judged: WireSize, laying: Laying) -> Limit | NotTabled:
    column_c = terminal_column_c(judged, laying.terminal_c)
    row = table.row(judged.system, judged.label, column_c)
    if row is None and laying.location == "feed" and column_c < COLUMNS_C[0]:
        return NotTabled(f"{judged.text} has no ampacity for terminals of {column_c:g} °C in table 310.16")
    if row is None or row.number("ampacity_a") >= full.value:
        return full
    note = (
        f"{full.note}; held to {row.number('ampacity_a'):g} A of the {column_c:g} °C column by its terminals, 110.14(C)"
    )
    return Limit(row.number("ampacity_a"), "A", row.source, note)
