"""From a figure back to the table that it was read from."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from math import isclose

from msgspec import Struct

from wiring.rulebooks.citation import Limit, Source
from wiring.rulebooks.tables import FOLDER, Row, Table, load


class Origin(Struct, frozen=True):
    """A table that holds the clause of a figure; `rows` are those that give the figure itself, none when computed."""

    table: Table
    rows: tuple[Row, ...]


@cache
def table_names(book: str) -> tuple[str, ...]:
    """The tables of a book ("iec", "na" or "common"), by name."""
    names = (path.name for path in (FOLDER / book).iterdir())
    return tuple(sorted(name.removesuffix(".csv") for name in names if name.endswith(".csv") and name != "clauses.csv"))


def _is_from(row: Row, source: Source) -> bool:
    return (row.source.standard, row.source.clause) == (source.standard, source.clause)


def _gives(row: Row, value: float) -> bool:
    return any(isinstance(cell, float) and isclose(cell, value, rel_tol=1e-6) for cell in row.cells.values())


def origins(book: str, limit: Limit) -> Iterator[Origin]:
    """The tables of a book, and those common to both, in which the clause of a limit stands."""
    for place in (book, "common"):
        for name in table_names(place):
            table = load(place, name)
            cited = [row for row in table.rows if _is_from(row, limit.source)]
            if cited:
                yield Origin(table, tuple(row for row in cited if _gives(row, limit.value)))
