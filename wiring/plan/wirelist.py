"""Wires and cables as a table, from CSV (comma, semicolon or tab) or a spreadsheet, with the place of every cell.

A wire is one row. A cable is one row for each core: the first row of a cable carries what holds for the whole of it,
further rows with the same id only their core.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple
from warnings import catch_warnings, simplefilter

from wiring.plan.fault import Fault, nearest
from wiring.plan.source import Node, Place, Source, Span
from wiring.plan.syntax import decode, read_bytes, unreadable
from wiring.plan.tree import LARGEST_COUNT

_SHARED = ("type", "size", "colour", "insulation", "rated", "length", "route", "ferrule", "conductor_class", "title")
WIRE_COLUMNS = ("wire", "from", "to", "through", "star", *_SHARED)
_CORE_COLUMNS = ("core", "core_size", "from", "to")
_SHIELD_COLUMNS = ("shield", "shield_method")
CABLE_COLUMNS = ("cable", "cores", *_SHARED, "colours", "flexing", "diameter", *_SHIELD_COLUMNS, *_CORE_COLUMNS)
COLUMNS = {"wires": WIRE_COLUMNS, "cables": CABLE_COLUMNS}


def _with_path(path: Path, fault: Fault) -> Fault:
    """A fault of a whole file, told at the place in the plan that names the file."""
    return replace(fault, summary=f"{path}: {fault.summary}") if fault.place is None else fault


class Cell(NamedTuple):
    """One cell that is not empty."""

    text: str
    span: Span


Row = dict[str, Cell]


class _Table:
    """Rows of a list under their checked header, and the faults of its form."""

    def __init__(self, file: str, section: str) -> None:
        self.file = file
        self.columns = COLUMNS[section]
        self.header: list[str] | None = None
        self.rows: list[Row] = []
        self.faults: list[Fault] = []
        self._cells = 0

    def fault(self, span: Span, summary: str, expected: str = "", near: tuple[str, ...] = ()) -> None:
        self.faults.append(Fault(Place(self.file, *span), summary, expected, "", near))

    def add(self, cells: list[Cell]) -> bool:
        """Takes one line of the table, the header first; False where nothing further should be read."""
        self._cells += len(cells)
        if self._cells > LARGEST_COUNT:
            self.fault(cells[-1].span, f"the list has more than {LARGEST_COUNT:,} cells", "a wire list is far smaller")
            return False
        if not any(cell.text for cell in cells):
            return True
        if self.header is None:
            self._take_header(cells)
        else:
            self._take_row(self.header, cells)
        return True

    def _take_header(self, cells: list[Cell]) -> None:
        self.header = [cell.text.strip().lower() for cell in cells]
        for number, (name, cell) in enumerate(zip(self.header, cells, strict=True)):
            if name in self.header[:number] and name:
                self.fault(cell.span, f"column {name!r} is there twice", "every column once")
            elif name and name not in self.columns:
                self.fault(
                    cell.span, f"{name[:60]!r} is not a column", ", ".join(self.columns), nearest(name, self.columns)
                )

    def _take_row(self, header: list[str], cells: list[Cell]) -> None:
        row: Row = {}
        for number, cell in enumerate(cells):
            if not cell.text.strip():
                continue
            name = header[number] if number < len(header) else ""
            if not name:
                self.fault(
                    cell.span, f"{cell.text[:60]!r} stands in a column without a heading", ", ".join(self.columns)
                )
            elif name in self.columns:
                row.setdefault(name, Cell(cell.text.strip(), cell.span))
        if row:
            self.rows.append(row)


def load_list(path: Path, section: str, named_at: Place) -> tuple[Source | None, Node, list[Fault]]:
    """Source, sequence of `wires` or `cables`, and faults of the list at the path; `named_at` is where it is named."""
    file = str(path)
    table = _Table(file, section)
    source: Source | None = None
    if path.suffix.lower() == ".xlsx":
        _read_spreadsheet(path, table)
    elif path.suffix.lower() in (".csv", ".tsv", ".txt"):
        source = _read_csv(path, table)
    else:
        table.faults.append(
            Fault(None, f"{path.name[:60]!r} is no list of {section}", "a list, or the path of a .csv or .xlsx file")
        )
    if not table.faults and table.header is None:
        table.fault((1, 1, 1), "the list is empty", f"a heading row with {', '.join(table.columns)}")
    items = _wires(table) if section == "wires" else _cables(table)
    sequence = Node(file, [item.data for item in items], (1, 1, 1), items)
    faults = [
        Fault(fault.place or named_at, fault.summary, fault.expected, fault.mend, fault.near) for fault in table.faults
    ]
    return source or Source(file, ()), sequence, faults


def _read_csv(path: Path, table: _Table) -> Source | None:
    data = read_bytes(path)
    text = decode(str(path), data, byte_order_mark=True) if isinstance(data, bytes) else data
    fault = text if isinstance(text, Fault) else unreadable(str(path), text)
    if fault or isinstance(text, Fault):
        table.faults.append(_with_path(path, fault)) if fault else None
        return None
    lines = text.splitlines(keepends=True)
    first = next((line for line in lines if line.strip()), "")
    delimiter = max(",;\t", key=first.count)
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    line = 0
    try:
        for fields in reader:
            number, line = line + 1, reader.line_num
            spans = _spans(lines[number - 1], number, delimiter) if line == number else []
            cells = [Cell(text, spans[at] if at < len(spans) else (number, 1, 1)) for at, text in enumerate(fields)]
            if not table.add(cells):
                break
    except csv.Error:
        table.fault(
            (max(1, reader.line_num), 1, 1),
            "this line is not a row of a table",
            "quotes around a whole cell, and closed",
        )
    return Source.of(str(path), text)


def _spans(line: str, number: int, delimiter: str) -> list[Span]:
    """Where the cells of one line stand."""
    spans: list[Span] = []
    start, quoted = 0, False
    for at, letter in enumerate(line.rstrip("\r\n") + delimiter):
        if letter == '"':
            quoted = not quoted
        elif letter == delimiter and not quoted:
            spans.append((number, start + 1, max(1, at - start)))
            start = at + 1
    return spans


def _cell_text(value: Any) -> str | None:
    """A cell of a spreadsheet as text, None where it is something else than a text or number."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value) if isinstance(value, str | int | float) else None


def _read_spreadsheet(path: Path, table: _Table) -> None:
    data = read_bytes(path)
    if isinstance(data, Fault):
        table.faults.append(_with_path(path, data))
        return
    try:
        with catch_warnings():
            simplefilter("ignore")  # parts of the file that the library leaves out, such as drop-down lists
            _read_sheet(data, table)
    except Exception as error:  # a damaged file makes the library raise almost anything
        reason = type(error).__name__
        table.faults.append(
            Fault(Place(str(path), 1, 1), "this is not a spreadsheet that can be read", f"an .xlsx file ({reason})")
        )


def _read_sheet(data: bytes, table: _Table) -> None:
    from io import BytesIO

    from openpyxl import load_workbook  # type: ignore[import-untyped]

    book = load_workbook(BytesIO(data), read_only=True, data_only=True)
    for number, values in enumerate(book.worksheets[0].iter_rows(values_only=True), 1):
        cells = []
        for column, value in enumerate(values, 1):
            text = _cell_text(value)
            if text is None:
                table.fault((number, column, 1), "a date or time stands here", "a text; format the cell as text")
            cells.append(Cell(text or "", (number, column, 1)))
        if not table.add(cells):
            break
    book.close()


def _leaf(table: _Table, cell: Cell) -> Node:
    return Node(table.file, cell.text, cell.span)


def _words(table: _Table, cell: Cell) -> list[Node]:
    return [Node(table.file, word, cell.span) for word in cell.text.split()]


def _sequence(table: _Table, nodes: list[Node], span: Span) -> Node:
    return Node(table.file, [node.data for node in nodes], span, nodes)


def _mapping(table: _Table, entries: dict[str, Node], span: Span) -> Node:
    keys = {key: node.span for key, node in entries.items()}
    return Node(table.file, {key: node.data for key, node in entries.items()}, span, dict(entries), keys)


def _start(row: Row) -> Span:
    return next(iter(row.values())).span


def _wires(table: _Table) -> list[Node]:
    return [_mapping(table, dict(_wire_entries(table, row)), _start(row)) for row in table.rows]


def _wire_entries(table: _Table, row: Row) -> Iterator[tuple[str, Node]]:
    for name, cell in row.items():
        if name == "through":
            yield name, _sequence(table, _words(table, cell), cell.span)
        elif name == "star":
            start, *ends = _words(table, cell)
            yield name, _mapping(table, {"from": start, "to": _sequence(table, ends, cell.span)}, cell.span)
        else:
            yield name, _leaf(table, cell)


def _cables(table: _Table) -> list[Node]:
    by_id: dict[str, list[Row]] = {}
    for row in table.rows:
        if "cable" in row:
            by_id.setdefault(row["cable"].text, []).append(row)
        else:
            table.fault(_start(row), "this row names no cable", "the id of the cable in column `cable`")
    return [_cable(table, rows) for rows in by_id.values()]


def _cable(table: _Table, rows: list[Row]) -> Node:
    first, start = rows[0], _start(rows[0])
    entries: dict[str, Node] = {}
    for name, cell in first.items():
        if name == "colours":
            entries[name] = _sequence(table, _words(table, cell), cell.span)
        elif name not in (*_CORE_COLUMNS, *_SHIELD_COLUMNS):
            entries[name] = _leaf(table, cell)
    if "shield" in first or "shield_method" in first:
        entries["shield"] = _shield(table, first)
    for row in rows[1:]:
        for name, cell in row.items():
            if name not in ("cable", *_CORE_COLUMNS) and (name not in first or first[name].text != cell.text):
                table.fault(
                    cell.span,
                    f"{name} of cable {row['cable'].text[:40]!r} differs from its first row",
                    "it stands in the first row",
                )
    entries["join"] = _mapping(table, _cores(table, rows), start)
    sizes = {row["core"].text: _leaf(table, row["core_size"]) for row in rows if "core" in row and "core_size" in row}
    if sizes:
        entries["sizes"] = _mapping(table, sizes, start)
    return _mapping(table, entries, start)


def _shield(table: _Table, row: Row) -> Node:
    entries: dict[str, Node] = {}
    if "shield" in row:
        entries["ends"] = _sequence(table, _words(table, row["shield"]), row["shield"].span)
    if "shield_method" in row:
        entries["method"] = _leaf(table, row["shield_method"])
    return _mapping(table, entries, _start(row))


def _cores(table: _Table, rows: list[Row]) -> dict[str, Node]:
    cores: dict[str, Node] = {}
    for row in rows:
        if "core" not in row:
            if any(name in row for name in _CORE_COLUMNS):
                table.fault(_start(row), "this row has ends and no core", "the label of the core in column `core`")
            continue
        label = row["core"]
        if label.text in cores:
            table.fault(label.span, f"core {label.text[:40]!r} is there twice", "every core of a cable once")
            continue
        cores[label.text] = _sequence(
            table, [_leaf(table, row[end]) for end in ("from", "to") if end in row], label.span
        )
    return cores
