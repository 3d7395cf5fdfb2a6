"""A table as data: headings with their units, rows of cells. Printers and file writers take it as it stands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from wiring.quantities import show
from wiring.units import DIMENSIONS
from wiring.wording import natural

#: A text, a count, or a figure in the unit of its column; None where the plan does not say.
Cell = str | int | float | None
#: What stands for a figure that the plan does not give.
UNKNOWN = "not given"

_DIGITS = re.compile(r"(\d+)")
_DIMENSIONS = {"m": "length", "A": "current", "V": "voltage", "W": "power", "°C": "temperature"}


class Column(Struct, frozen=True):
    """A heading; with a `unit` its cells are figures in that SI unit, set to the right."""

    heading: str
    unit: str = ""

    @property
    def file_heading(self) -> str:
        """The heading in a file, where the cells are bare numbers."""
        return f"{self.heading} [{self.unit}]" if self.unit else self.heading


class Table(Struct, frozen=True):
    """Rows under their columns; every row has a cell for each column. `notes` are sentences that belong below it.

    With `feet` people read lengths in feet; the cells stay in metres. What is `ticked` is worked off row by row.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    feet: bool = False
    ticked: bool = False

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings as people read them."""
        return tuple(column.heading for column in self.columns)

    def words(self) -> list[list[str]]:
        """The rows as people read them, figures with their unit."""
        return [
            [_words(column, cell, self.feet) for column, cell in zip(self.columns, row, strict=True)]
            for row in self.rows
        ]

    def without_empty(self, headings: Mapping[str, str]) -> Table:
        """Without those of the columns in which no row says anything; the sentence of each becomes a note."""
        kept = [
            n
            for n, column in enumerate(self.columns)
            if column.heading not in headings or any(row[n] not in (None, "") for row in self.rows)
        ]
        gone = [column.heading for n, column in enumerate(self.columns) if n not in kept]
        notes = [headings[heading] for heading in gone if headings[heading]]
        return replace(
            self,
            columns=tuple(self.columns[n] for n in kept),
            rows=tuple(tuple(row[n] for n in kept) for row in self.rows),
            notes=(*self.notes, *notes),
        )


def _words(column: Column, cell: Cell, feet: bool) -> str:
    if cell is None:
        return UNKNOWN
    if isinstance(cell, str):
        return cell
    if feet and column.unit == "m":
        unit, unit_m = length_unit("na")
        return f"{float(cell) / unit_m:.3g} {unit}"
    return show(float(cell), _DIMENSIONS[column.unit]) if column.unit else str(cell)


def length_unit(book: str) -> tuple[str, float]:
    """The unit in which people read lengths under a rulebook, and what it is in metres."""
    unit = "ft" if book == "na" else "m"
    return unit, DIMENSIONS["length"].units[unit]


def by_name(items: Iterable[Any], name: str) -> list[Any]:
    """The items in the natural order of that attribute."""
    return sorted(items, key=lambda item: natural(getattr(item, name)))


def listed(names: Sequence[str], most: int = 12) -> str:
    """The names with commas, cut after `most` of them."""
    left = len(names) - most
    return ", ".join(names[:most]) + (f" and {left} more" if left > 0 else "")
