"""Tables of the page: cells cut into plain words and links to the parts, wires and sheets that they name."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from urllib.parse import quote

from wiring.design.design import Design
from wiring.documents.drawn import svg_safe
from wiring.documents.table import Table

#: A piece of a cell, and where it leads on the page, "" for nowhere.
Piece = tuple[str, str]

_BETWEEN = re.compile(r"([\s,;()]+)")
_ZONE = re.compile(r"(\d+)/([A-Z]\d+|\d\d)")
#: Columns whose words are names of conductors.
_OF_WIRES = {"Wire", "Inner conductor", "Outer conductor", "Conductor", "Cut for"}
#: Columns of free words, in which a name may stand by chance.
_FREE = {"Title", "What", "Second line", "Value", "Right when", "Source of the interval", "Size", "Remark"}


class Linker:
    """Finds what the words of a table name in a design."""

    def __init__(self, design: Design) -> None:
        self._parts = set(design.parts)
        self._wires = {conductor.id for conductor in design.circuit.conductors}

    def subjects(self, names: Iterable[str]) -> list[Piece]:
        """Names of parts and conductors, each with its link."""
        return [(name, part_link(name) if name in self._parts else self._wire(name)) for name in names]

    def of_bench(self, table: Table) -> dict[str, Any]:
        """A list of the bench as the page shows it."""
        are_words = [not column.unit for column in table.columns]
        return self._table(table.title, table.headings, table.words(), are_words) | {"notes": table.notes}

    def of_budget(self, table: Mapping[str, Any]) -> dict[str, Any]:
        """A table of the budget as the page shows it."""
        are_words = [n < table["names"] for n in range(len(table["headings"]))]
        return self._table(table["title"], table["headings"], table["rows"], are_words) | {"notes": ()}

    def _table(
        self, title: str, headings: Sequence[str], rows: Iterable[Sequence[str]], are_words: Sequence[bool]
    ) -> dict[str, Any]:
        cells = [[self._cell(headings, row, n) for n in range(len(row))] for row in rows]
        return {"title": title, "headings": headings, "rows": cells, "are_words": are_words}

    def _cell(self, headings: Sequence[str], row: Sequence[str], n: int) -> list[Piece]:
        heading, text = headings[n], row[n]
        if heading in _FREE:
            return [(text, "")]
        if heading == "Core":
            return [(text, self._wire(f"{row[0]}.{text}"))]
        return [(word, self._link(word, heading in _OF_WIRES)) for word in _BETWEEN.split(text) if word]

    def _link(self, word: str, is_wire: bool) -> str:
        if is_wire and word in self._wires:
            return self._wire(word)
        if zone := _ZONE.fullmatch(word):
            return f"#sheet-{zone[1]}"
        part = word.partition(":")[0]
        return part_link(part) if part in self._parts else ""

    def _wire(self, name: str) -> str:
        return f"#wire-{_quoted(name)}" if name in self._wires else ""


def part_link(name: str) -> str:
    """Where a part is found on the page."""
    return f"#{_quoted(name)}"


def _quoted(name: str) -> str:
    return quote(svg_safe(name), safe="")
