"""Ampacity by the IEC book: IEC 60204-1 table 6 with annex D on the machine, IEC 60364-5-52 for the feed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from math import sqrt

from msgspec import Struct

from wiring.quantities import WireSize
from wiring.rulebooks.answers import NotTabled, weakest
from wiring.rulebooks.citation import Limit, Source
from wiring.rulebooks.conductors import exchange_note, gauge_size, largest_not_above
from wiring.rulebooks.laying import Laying
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.tables import Row, load

TERMINAL_C = tabled("common", "terminal_unmarked").value
"""What a terminal without a marking is trusted with, °C."""
_POWER_FROM_MM2 = 0.75
#: A conduit in the ground, and the temperature of the ground that its table is made for (B.52.15).
_BURIED, _GROUND_C = "D1", 20.0


class Base(Struct, frozen=True):
    """The current of a table before any factor, with the temperatures the table is made for."""

    row: Row
    judged_as: WireSize
    insulation_c: float
    ambient_c: float
    small: bool

    @property
    def current_a(self) -> float:
        """A."""
        return self.row.number("ampacity_a")


class Factor(Struct, frozen=True):
    """One factor, why, and where from; `computed` when a formula stands in for the table."""

    value: float
    reason: str
    source: Source
    computed: bool = False


def sqrt_factor(insulation_c: float, ambient_c: float, base_insulation_c: float, base_ambient_c: float) -> float:
    """Factor for another insulation and ambient: sqrt((Tc - Ta)/(T0 - Ta0)); 0 when the ambient reaches Tc.

    Heat goes with I^2 and with the rise; reproduces IEC 60364-5-52 B.52.14 to 0.012 and NFPA 70 310.15(B)(1) to 0.01.
    """
    return sqrt(max(insulation_c - ambient_c, 0.0) / (base_insulation_c - base_ambient_c))


@cache
def _rows(name: str, method: str, loaded_count: float | None) -> tuple[tuple[Row, ...], tuple[WireSize, ...]]:
    """The rows of one method with their sizes; `loaded_count` None for a table without that column."""
    counted = {} if loaded_count is None else {"loaded_count": loaded_count}
    rows = load("iec", name).where(method=method, **counted)
    return rows, tuple(gauge_size("mm2", row.text("size_mm2")) for row in rows)


def _pick(name: str, size: WireSize, method: str, loaded_count: float | None = None) -> tuple[Row, WireSize] | None:
    rows, sizes = _rows(name, method, loaded_count)
    below = largest_not_above(size, sizes)
    return (rows[sizes.index(below)], below) if below else None


def _machine_base(size: WireSize, laying: Laying) -> Base | None:
    small = size.area_mm2 < _POWER_FROM_MM2 * (1 - 1e-9)
    method = "B2" if small and laying.method == "B1" else laying.method
    picked = _pick("ampacity_machine_pairs" if small else "ampacity_machine", size, method)
    return Base(picked[0], picked[1], 70, 40, small) if picked else None


def _feed_base(size: WireSize, laying: Laying, insulation_c: float) -> Base | None:
    loaded = 2.0 if laying.loaded_conductors <= 2 else 3.0
    hot = ("ampacity_installation_xlpe90", 90.0)
    tables = (
        (hot, ("ampacity_installation_pvc70", 70.0)) if insulation_c >= 90 else (("ampacity_installation_pvc70", 70.0),)
    )
    for name, made_for_c in tables:
        picked = _pick(name, size, laying.method, loaded)
        if picked:
            return Base(picked[0], picked[1], made_for_c, _GROUND_C if laying.method == _BURIED else 30, False)
    return None


def _base(size: WireSize, insulation_c: float, laying: Laying) -> Base | None:
    if laying.location == "feed":
        return _feed_base(size, laying, insulation_c)
    return _machine_base(size, laying)


def _temperature_factor(base: Base, insulation_c: float, ambient_c: float, feed: bool) -> Factor:
    buried = base.ambient_c == _GROUND_C
    floor = base.ambient_c if buried or not feed else -273.0
    ambient = max(ambient_c, floor)
    if buried or insulation_c != base.insulation_c:
        value = sqrt_factor(insulation_c, ambient, base.insulation_c, base.ambient_c)
        return Factor(value, f"{insulation_c:g} °C insulation at {ambient:.3g} °C", base.row.source, computed=True)
    table = load("iec", "ambient_installation" if feed else "ambient_machine")
    cells = {"insulation_c": insulation_c} if feed else {}
    row, cooler = (find("ambient_c", ambient, **cells) for find in (table.at_or_above, table.at_or_below))
    if row is None:
        return Factor(
            0.0, f"no {insulation_c:g} °C insulation at {ambient:.3g} °C, the table ends below", base.row.source
        )
    return Factor(_between(cooler or row, row, ambient), f"{ambient:.3g} °C", row.source)


def _between(cooler: Row, warmer: Row, ambient_c: float) -> float:
    """The factor between two rows, on their chord: the law of heat that the table follows runs above it."""
    low_c, high_c = cooler.number("ambient_c"), warmer.number("ambient_c")
    if high_c <= low_c:
        return warmer.number("factor")
    share = (ambient_c - low_c) / (high_c - low_c)
    return cooler.number("factor") * (1.0 - share) + warmer.number("factor") * share


def _beyond(last: Row, column: str, count: int) -> Factor:
    """Past the end of a grouping table the bundle keeps the total heat of its last row: n I^2 is constant."""
    end = last.number(column)
    value = last.number("factor") * sqrt(end / count)
    return Factor(value, f"{count} together, beyond the table at equal total heat", last.source, computed=True)


def _counted(rows: Sequence[Row], column: str, count: int, words: str) -> Factor:
    fitting = [row for row in rows if row.number(column) >= count]
    if not fitting:
        return _beyond(max(rows, key=lambda row: row.number(column)), column, count)
    row = min(fitting, key=lambda row: row.number(column))
    return Factor(row.number("factor"), words, row.source)


def _grouping_factor(base: Base, laying: Laying, feed: bool) -> Factor | None:
    count = laying.loaded_circuits
    if count <= 1:
        return None
    words = f"{count} loaded circuits together"
    if base.small and not feed:
        rows = load("iec", "grouping_machine").where(arrangement="control-pairs")
    else:
        rows = load("iec", "grouping").where(arrangement=laying.arrangement)
    return _counted(rows, "circuits_count", count, words)


def _multicore_factor(base: Base, cores: int, feed: bool) -> Factor | None:
    """Table D.3: up to three cores, two of a small size, are the condition of the tables themselves."""
    pairs = base.judged_as.area_mm2 < 1 - 1e-9
    if cores <= (2 if base.small else 3):
        return None
    contents = "pairs-0.25-to-0.75-mm2" if pairs and not feed else "conductors-over-1-mm2"
    count = (cores + 1) // 2 if pairs and not feed else cores
    rows = load("iec", "multicore_machine").where(contents=contents)
    return _counted(rows, "loaded_count", count, f"{cores} loaded cores in the cable")


def _combine(base: Base, factors: Sequence[Factor], size: WireSize) -> Limit:
    value = base.current_a
    words = [f"{base.current_a:g} A for {base.judged_as.text}"]
    for factor in factors:
        value *= factor.value
        words.append(f"x {factor.value:.3g} ({factor.reason})")
    source = weakest(base.row.source, *(factor.source for factor in factors), computed=any(f.computed for f in factors))
    note = "; ".join(part for part in (" ".join(words), exchange_note(size, base.judged_as)) if part)
    return Limit(value, "A", source, note)


def _of_base(base: Base, size: WireSize, insulation_c: float, laying: Laying) -> Limit:
    feed = laying.location == "feed"
    ambient = _temperature_factor(base, insulation_c, laying.ambient_c, feed)
    others = (_grouping_factor(base, laying, feed), _multicore_factor(base, laying.cores, feed))
    full = _combine(base, [ambient, *(factor for factor in others if factor)], size)
    terminal_c = laying.terminal_c if laying.terminal_c is not None else TERMINAL_C
    cooler = _base(size, terminal_c, laying) if terminal_c < insulation_c else None
    if cooler is None:
        return full
    at_terminal = _combine(cooler, [_temperature_factor(cooler, terminal_c, laying.ambient_c, feed)], size)
    if at_terminal.value >= full.value:
        return full
    return Limit(
        at_terminal.value, "A", at_terminal.source, f"{at_terminal.note}; held to terminals of {terminal_c:g} °C"
    )


@lru_cache(maxsize=4096)
def ampacity(size: WireSize, insulation_c: float, laying: Laying) -> Limit | NotTabled:
    """Current a conductor carries without passing `insulation_c`, in A; 0 where that insulation may not be used.

    Machine: IEC 60204-1:2016 table 6 (40 °C, 70 °C PVC), D.1 for ambient with 1.0 below 40 °C (editions differ on
    lower rows), B.52.17 for grouping (D.2 has the same numbers with fewer rows; small conductors have their own row
    in D.2), D.3 for cores of a cable. Feed: IEC 60364-5-52:2009. A count between two rows takes the higher one, a
    temperature the value between them (the book is silent; NFPA 70 states ranges, of which the upper end counts).
    Another insulation goes by `sqrt_factor`, and so does the ground around D1, taken as warm as the air and never below
    20 °C (follows B.52.15 to 0.01); above 70 °C the terminals at its ends count too.
    """
    base = _base(size, insulation_c, laying)
    if base is None:
        return NotTabled(f"no ampacity is tabled for {size.text} laid in a {laying.kind} (method {laying.method})")
    return _of_base(base, size, insulation_c, laying)
