"""A list of wires or cables as a table, CSV (comma, semicolon or tab) or a spreadsheet, with the place of every cell.

A column whose heading stands in square brackets is for people only.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any, NamedTuple
from warnings import catch_warnings, simplefilter

from msgspec.structs import replace

from wiring.plan.fault import Fault, nearest
from wiring.plan.source import Place, Source, Span
from wiring.plan.syntax import decode, read_bytes, unreadable
from wiring.plan.tree import LARGEST_COUNT
from wiring.wording import FORMULA_SIGNS

_MADE = ("size", "colour", "insulation", "rated", "length", "route", "ferrule", "conductor_class", "thermocouple")
_SHARED = ("type", *_MADE, "title")
WIRE_COLUMNS = ("wire", "from", "to", "through", "star", *_SHARED)
CORE_COLUMNS = ("core", "core_size", "core_label", "from", "to")
SHIELD_COLUMNS = ("shield", "shield_method")
CABLE_COLUMNS = ("cable", "cores", *_SHARED, "colours", "flexing", "diameter", *SHIELD_COLUMNS, *CORE_COLUMNS)
COLUMNS = {"wires": WIRE_COLUMNS, "cables": CABLE_COLUMNS}


#: Bounds of a spreadsheet: rows, parts of its archive, bytes unpacked, and of parts that take many times their size.
_MOST_ROWS, _MOST_PARTS, _MOST_UNPACKED, _MOST_OF_A_PART = 20_000, 500, 20_000_000, 4_000_000
_MOST_OF = {"styles.xml": 500_000, "theme1.xml": 500_000, "workbook.xml": 500_000}


def _with_path(path: Path, fault: Fault) -> Fault:
    """A fault of a whole file, told at the place in the plan that names the file."""
    return replace(fault, summary=f"{path}: {fault.summary}") if fault.place is None else fault


class Cell(NamedTuple):
    """One cell that is not empty."""

    text: str
    span: Span


Row = dict[str, Cell]


class Table:
    """Rows of a list under their checked header, and the faults of its form."""

    def __init__(self, file: str, section: str) -> None:
        self.file = file
        self.columns = COLUMNS[section]
        self.header: list[str] | None = None
        self.rows: list[Row] = []
        self.faults: list[Fault] = []
        self._cells = 0
        #: The line of the file that holds the heading, and those of the rows, counted from 1 in records.
        self.heading_at = 0
        self.rows_at: list[int] = []
        self._records = 0

    def fault(self, span: Span, summary: str, expected: str = "", near: tuple[str, ...] = ()) -> None:
        self.faults.append(Fault(Place(self.file, *span), summary, expected, "", near))

    def add(self, cells: list[Cell]) -> bool:
        """Takes one line of the table, the header first; False where nothing further should be read."""
        self._cells += len(cells)
        self._records += 1
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
        self.heading_at = self._records
        for number, (name, cell) in enumerate(zip(self.header, cells, strict=True)):
            if name in self.header[:number] and name and not _for_people(name):
                self.fault(cell.span, f"column {name!r} is there twice", "every column once")
            elif name and name not in self.columns and not _for_people(name):
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
                row.setdefault(name, Cell(cell_text(cell.text), cell.span))
        if row:
            self.rows.append(row)
            self.rows_at.append(self._records)


def _for_people(heading: str) -> bool:
    return heading.startswith("[") and heading.endswith("]")


def cell_text(text: str) -> str:
    """What a cell holds, without the apostrophe that keeps a spreadsheet program from taking it for a formula."""
    text = text.strip()
    return text[1:] if text[:1] == "'" and text[1:2] in FORMULA_SIGNS else text


def _list_bytes(path: Path) -> bytes | Fault:
    """What a list holds. A pipe or device is none: reading it may never end."""
    if path.exists() and not path.is_file() and not path.is_dir():
        return Fault(None, "this is no ordinary file", "a list, or the path of a .csv or .xlsx file")
    return read_bytes(path)


def read_table(path: Path, section: str, held: bytes | None = None) -> tuple[Source | None, Table]:
    """The table at a path under its checked header, and its source where that has lines."""
    table = Table(str(path), section)
    if path.suffix.lower() == ".xlsx":
        _read_spreadsheet(path, table, held)
        return None, table
    if path.suffix.lower() in (".csv", ".tsv", ".txt"):
        return _read_csv(path, table, held), table
    table.faults.append(
        Fault(None, f"{path.name[:60]!r} is no list of {section}", "a list, or the path of a .csv or .xlsx file")
    )
    return None, table


def delimiter_of(text: str) -> str:
    """What parts the cells of a CSV file: the commonest of comma, semicolon and tab in its first line with words."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(",;\t", key=first.count)


def _read_csv(path: Path, table: Table, held: bytes | None) -> Source | None:
    data = _list_bytes(path) if held is None else held
    text = decode(str(path), data, byte_order_mark=True) if isinstance(data, bytes) else data
    fault = text if isinstance(text, Fault) else unreadable(str(path), text)
    if fault or isinstance(text, Fault):
        table.faults.append(_with_path(path, fault)) if fault else None
        return None
    lines = text.splitlines(keepends=True)
    delimiter = delimiter_of(text)
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


class _TooLargeError(Exception):
    """A spreadsheet that would fill the memory when it is unpacked; the message says by what."""


def _check_size(data: bytes) -> None:
    """Raises _TooLargeError by what the archive says of itself, which bounds what is unpacked of it."""
    from io import BytesIO
    from zipfile import ZipFile

    with ZipFile(BytesIO(data)) as archive:
        parts = archive.infolist()
    if len(parts) > _MOST_PARTS:
        raise _TooLargeError(f"it has more than {_MOST_PARTS} parts")
    if sum(part.file_size for part in parts) > _MOST_UNPACKED:
        raise _TooLargeError(f"unpacked it is larger than {_MOST_UNPACKED // 1_000_000} MB")
    for part in parts:
        name = part.filename.lower()
        usual = _MOST_UNPACKED if name.startswith("xl/worksheets/") else _MOST_OF_A_PART
        most = _MOST_OF.get(name.rpartition("/")[2], usual)
        if part.file_size > most:
            raise _TooLargeError(f"its {part.filename} is larger than {most / 1e6:g} MB unpacked")


def _read_spreadsheet(path: Path, table: Table, held: bytes | None) -> None:
    data = _list_bytes(path) if held is None else held
    if isinstance(data, Fault):
        table.faults.append(_with_path(path, data))
        return
    try:
        with catch_warnings():
            simplefilter("ignore")  # parts of the file that the library leaves out, such as drop-down lists
            _read_sheet(data, table)
    except _TooLargeError as error:
        problem = f"this spreadsheet is too large: {error}"
        table.faults.append(Fault(Place(str(path), 1, 1), problem, "a wire list is far smaller"))
    except Exception as error:  # a damaged file makes the library raise almost anything
        reason = type(error).__name__
        table.faults.append(
            Fault(Place(str(path), 1, 1), "this is not a spreadsheet that can be read", f"an .xlsx file ({reason})")
        )


def _read_sheet(data: bytes, table: Table) -> None:
    from io import BytesIO

    from openpyxl import load_workbook  # type: ignore[import-untyped]

    _check_size(data)
    book = load_workbook(BytesIO(data), read_only=True, data_only=True)
    for number, values in enumerate(book.worksheets[0].iter_rows(values_only=True), 1):
        if number > _MOST_ROWS:
            table.fault((number, 1, 1), f"the sheet has more than {_MOST_ROWS:,} rows", "a wire list is far smaller")
            break
        cells = []
        for column, value in enumerate(values, 1):
            text = _cell_text(value)
            if text is None:
                table.fault((number, column, 1), "a date or time stands here", "a text; format the cell as text")
            cells.append(Cell(text or "", (number, column, 1)))
        if not table.add(cells):
            break
    book.close()
