"""Tables of the rulebooks: one CSV file each, every row with its source and how sure it is.

The header is the rule of the columns. A column marked `key:` is part of the row's key. A column whose name ends in a
unit (`_a`, `_mm2`, `_percent` ...) holds numbers, an empty cell meaning "not given". Every other column is text, and so
is every column that starts with `size`: "1.0", "1/0" and "250" are labels. Each file ends with standard, edition,
clause and standing.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from math import inf
from pathlib import Path
from types import MappingProxyType

from msgspec import Struct

from wiring.rulebooks.citation import Limit, Source, Standing

BOOKS = ("iec", "na", "common")
FOLDER = Path(__file__).parent / "tables"
SOURCE_COLUMNS = ("standard", "edition", "clause", "standing")
STANDINGS: Mapping[str, Standing] = MappingProxyType(
    {
        "confirmed": Standing.CONFIRMED,
        "one-source": Standing.ONE_SOURCE,
        "computed": Standing.COMPUTED,
        "from-memory": Standing.FROM_MEMORY,
        "common-practice": Standing.COMMON_PRACTICE,
    }
)
_LAST_DIGIT = 1e-9
# Ending of a column's name -> how its unit is printed. The longest ending that fits counts.
UNITS: Mapping[str, str] = MappingProxyType(
    {
        "a": "A", "ka": "kA", "ma": "mA", "v": "V", "s": "s", "h": "h", "ms": "ms", "min": "min", "c": "°C", "k": "K",
        "m": "m", "mm": "mm", "in": "in", "m2": "m2", "mm2": "mm2", "circular_mils": "circular mils", "w": "W",
        "kw": "kW", "hp": "hp", "va": "VA", "kva": "kVA", "ohm": "ohm", "mohm": "mohm", "hz": "Hz", "kg": "kg",
        "ohm_per_km": "ohm/km", "mohm_per_m": "mohm/m", "ohm_per_kft": "ohm/kft", "percent": "%", "factor": "x",
        "multiple": "x", "ratio": "x", "count": "", "times": "x", "deg": "°", "a2s": "A2s", "w_per_m2_k": "W/(m2·K)",
        "per_k": "1/K", "k_per_1000m": "K/1000 m", "percent_per_k": "%/K", "percent_per_m": "%/m", "uc": "µC",
        "a_sqrt_s_per_mm2": "A·s^0.5/mm2", "ohm_mm2_per_m": "ohm·mm2/m", "m3_h": "m3/h", "m3_k_per_wh": "m3·K/(W·h)",
        "per_h": "1/h", "number": "", "nm": "N·m",
    }
)  # fmt: skip


class TableError(LookupError):
    """A table, a column or a number that does not exist: an error in this package, never in a plan."""


@cache
def unit_of(column: str) -> str | None:
    """The printed unit of a column of numbers, None for a column of text. `value` takes its unit from column `unit`."""
    if column.startswith("size") or column in SOURCE_COLUMNS:
        return None
    if column == "value":
        return ""
    words = column.split("_")
    return next((UNITS[end] for i in range(len(words)) if (end := "_".join(words[i:])) in UNITS), None)


class Row(Struct, frozen=True):
    """One row: text, a number, or None where the table gives none; `source` is where the row comes from."""

    table: str
    cells: Mapping[str, str | float | None]
    source: Source

    def _cell(self, column: str) -> str | float | None:
        if column not in self.cells:
            raise TableError(f"table {self.table} has no column {column!r}; it has {', '.join(self.cells)}")
        return self.cells[column]

    def text(self, column: str) -> str:
        """The text of a cell, "" when empty."""
        cell = self._cell(column)
        if not isinstance(cell, str):
            raise TableError(f"column {column!r} of table {self.table} holds numbers, not text")
        return cell

    def number_or_none(self, column: str) -> float | None:
        """The number of a cell, None when the table gives none."""
        cell = self._cell(column)
        if isinstance(cell, str):
            raise TableError(f"column {column!r} of table {self.table} holds text, not numbers")
        return cell

    def number(self, column: str) -> float:
        """The number of a cell that must be there."""
        number = self.number_or_none(column)
        if number is None:
            raise TableError(f"table {self.table} has an empty cell in column {column!r}")
        return number

    def limit(self, column: str, note: str = "") -> Limit:
        """The number of a cell with its unit and source."""
        unit = self.text("unit") if column == "value" else unit_of(column) or ""
        return Limit(self.number(column), unit, self.source, note)


class Table(Struct, frozen=True):
    """The rows of one file in its order, and the names of its key columns."""

    name: str
    keys: tuple[str, ...]
    rows: tuple[Row, ...]
    _by_key: Mapping[tuple[str | float | None, ...], Row]

    def row(self, *key: str | float | None) -> Row | None:
        """The row with exactly this key, values in the order of the key columns; None when there is none."""
        return self._by_key.get(key)

    def where(self, **cells: str | float | None) -> tuple[Row, ...]:
        """Every row whose cells equal these."""
        return tuple(row for row in self.rows if all(row.cells[name] == cell for name, cell in cells.items()))

    def at_or_above(self, column: str, value: float, **cells: str | float | None) -> Row | None:
        """Of the rows `where(**cells)`, the one with the smallest number not below `value`; empty counts as no end."""
        fitting = [(_or_infinite(row, column), i, row) for i, row in enumerate(self.where(**cells))]
        return min((entry for entry in fitting if not is_above(value, entry[0])), default=(0.0, 0, None))[2]

    def at_or_below(self, column: str, value: float, **cells: str | float | None) -> Row | None:
        """Of the rows `where(**cells)`, the one with the largest number not above `value`; empty cells are skipped."""
        fitting = [(_or_infinite(row, column), -i, row) for i, row in enumerate(self.where(**cells))]
        return max((entry for entry in fitting if not is_above(entry[0], value)), default=(0.0, 0, None))[2]

    def band(self, quantity: str, unit: str, value: float, **cells: str | float | None) -> Row | None:
        """The row with `quantity`_above_`unit` < value <= `quantity`_max_`unit`; an empty end is open."""
        above, most = f"{quantity}_above_{unit}", f"{quantity}_max_{unit}"
        for row in self.where(**cells):
            low = row.number_or_none(above)
            if (low is None or is_above(value, low)) and not is_above(value, _or_infinite(row, most)):
                return row
        return None


def is_above(value: float, end: float) -> bool:
    """Whether a value passes the printed end of a band; a last digit that a change of units left does not count."""
    return value > end + _LAST_DIGIT * abs(end)


def _or_infinite(row: Row, column: str) -> float:
    number = row.number_or_none(column)
    return inf if number is None else number


@cache
def _source(standard: str, edition: str, clause: str, standing: str) -> Source:
    return Source(standard, edition, clause, STANDINGS[standing])


def _number(text: str) -> float | None:
    return float(text) if text else None


@cache
def load(book: str, name: str) -> Table:
    """The table `name` of a book ("iec", "na" or "common"), read once. TableError when there is no such table."""
    try:
        text = (FOLDER / book / f"{name}.csv").read_text(encoding="utf-8")
    except FileNotFoundError:
        raise TableError(f"no table {name!r} in the book {book!r}") from None
    header, *records = csv.reader(text.splitlines())
    columns = [column.removeprefix("key:") for column in header]
    keys = tuple(column.removeprefix("key:") for column in header if column.startswith("key:"))
    given = len(columns) - len(SOURCE_COLUMNS)
    readers = [str if unit_of(column) is None else _number for column in columns[:given]]
    rows = []
    for record in records:
        cells = {column: read(text) for column, read, text in zip(columns, readers, record, strict=False)}
        rows.append(Row(f"{book}/{name}", MappingProxyType(cells), _source(*record[given:])))
    by_key = {tuple(row.cells[key] for key in keys): row for row in rows}
    return Table(f"{book}/{name}", keys, tuple(rows), MappingProxyType(by_key))
