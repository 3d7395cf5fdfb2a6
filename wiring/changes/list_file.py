"""A list of wires or cables that is written again: every row that nothing speaks of keeps its bytes or its cells."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any
from warnings import catch_warnings, simplefilter
from zipfile import ZipFile

from msgspec import Struct, field

from wiring.plan.fault import Refusal
from wiring.plan.wiretable import COLUMNS, Table, delimiter_of, read_table
from wiring.wording import FORMULA_SIGNS

_LINE_END = re.compile(r"\r\n|\n|\r")
_MARK = b"\xef\xbb\xbf"
#: What a spreadsheet holds that would be lost in writing it again.
_LOST = re.compile(r"xl/(media|charts|drawings|embeddings|externalLinks|pivotTables)/|xl/vbaProject")


class ListRow(Struct, eq=False):
    """One row: its cells by their columns; `record` is its place in the file counted from 1, 0 for a new one.

    `touched` are the columns that changed, `like` is the row that a new one was written after.
    """

    cells: dict[str, str]
    record: int = 0
    touched: set[str] = field(default_factory=set)
    like: ListRow | None = None

    def text(self, column: str) -> str:
        """What stands in a column, "" where nothing does."""
        return self.cells.get(column, "")


class ListFile(Struct, dict=True):
    """The rows of a list and what was done with them; `data` is the file with that."""

    path: Path
    table: Table
    section: str
    rows: list[ListRow] = field(default_factory=list)
    gone: list[ListRow] = field(default_factory=list)

    def __post_init__(self) -> None:
        pairs = zip(self.table.rows, self.table.rows_at, strict=True)
        self.rows = [ListRow({name: cell.text for name, cell in row.items()}, at) for row, at in pairs]
        self.heading = list(self.table.header or ())

    @property
    def name(self) -> str:
        """The file's name, for people."""
        return self.path.name

    @property
    def columns(self) -> Sequence[str]:
        """All columns that such a list may have."""
        return COLUMNS[self.section]

    @property
    def last(self) -> ListRow | None:
        """The last row."""
        return self.rows[-1] if self.rows else None

    def set(self, row: ListRow, column: str, text: str) -> None:
        """Puts a text into a cell, "" to empty it; a column that is not there yet is added."""
        if row.text(column) != text:
            row.cells[column] = text
            row.touched.add(column)
        if text and column not in self.heading:
            self.heading.append(column)

    def add(self, cells: Mapping[str, str], after: ListRow | None, like: ListRow | None = None) -> ListRow:
        """A new row behind another one."""
        row = ListRow({}, like=like)
        self.rows.insert(self.rows.index(after) + 1 if after else len(self.rows), row)
        for column, text in cells.items():
            self.set(row, column, text)
        return row

    def remove(self, row: ListRow) -> None:
        """Takes a row away."""
        self.rows.remove(row)
        self.gone.append(row)

    def data(self) -> bytes:
        """The file as it must be written."""
        raise NotImplementedError


class _CsvFile(ListFile):
    """A list in CSV: its lines as they stand, but those that changed."""

    held: bytes = b""

    def data(self) -> bytes:
        text = self.held.removeprefix(_MARK).decode("utf-8")
        delimiter = delimiter_of(text)
        records = _records(text, delimiter)
        end = found[0] if (found := _LINE_END.search(text)) else "\n"
        by_record = {row.record: row for row in self.rows if row.record}
        dropped = {row.record for row in self.gone}
        behind: dict[int, list[ListRow]] = {}
        near = self.table.heading_at
        for row in self.rows:
            near = row.record or near
            if not row.record:
                behind.setdefault(near, []).append(row)
        pieces: list[str] = []
        for number, (raw, fields) in enumerate(records, 1):
            piece = raw
            if number == self.table.heading_at and len(self.heading) > len(fields):
                piece = _line([*fields, *self.heading[len(fields) :]], delimiter, raw)
            elif number in by_record and by_record[number].touched:
                piece = _line(self._fields(by_record[number], fields), delimiter, raw)
            pieces += [] if number in dropped else [piece]
            for row in behind.get(number, ()):
                if pieces and not _LINE_END.search(pieces[-1][-1:]):
                    pieces.append(end)
                pieces.append(_line(self._fields(row, []), delimiter, end))
        return (_MARK if self.held.startswith(_MARK) else b"") + "".join(pieces).encode("utf-8")

    def _fields(self, row: ListRow, before: Sequence[str]) -> list[str]:
        """The cells of a row in the order of the heading; what is for people stays, without a text behind the last."""
        fields = list(before) + [""] * (len(self.heading) - len(before))
        for place, column in enumerate(self.heading):
            if column in row.touched:
                fields[place] = row.text(column)
        used = max((n for n, text in enumerate(fields, 1) if text), default=0)
        return fields[: max(used, len(before) or len(self.table.header or ()))]


def _records(text: str, delimiter: str) -> list[tuple[str, list[str]]]:
    """Every record as it stands in the file, with its cells."""
    lines = text.splitlines(keepends=True)
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    found, start = [], 0
    for fields in reader:
        found.append(("".join(lines[start : reader.line_num]), fields))
        start = reader.line_num
    return found


def _line(fields: Sequence[str], delimiter: str, like: str) -> str:
    """One record with the line end of another one."""
    ends = _LINE_END.findall(like[-2:])
    stream = StringIO()
    csv.writer(stream, delimiter=delimiter, lineterminator=ends[-1] if ends else "").writerow(fields)
    return stream.getvalue()


class _Spreadsheet(ListFile):
    """A list on the first sheet of a workbook, whose other cells and sheets stay."""

    held: bytes = b""

    def data(self) -> bytes:
        from openpyxl import load_workbook  # type: ignore[import-untyped]

        self._check()
        with catch_warnings():
            simplefilter("error")
            try:
                book = load_workbook(BytesIO(self.held), rich_text=True)
            except UserWarning as loss:
                raise self._refused(f"has something that would be lost ({loss})") from None
        self._check_formulas(book)
        sheet = book.worksheets[0]
        for place, column in enumerate(self.heading, 1):
            if place > len(self.table.header or ()):
                _put(sheet, self.table.heading_at, place, column)
        for row in self.rows:
            if row.record:
                self._write(sheet, row, row.record)
        new = [row for row in self.rows if not row.record]
        last = max([self.table.heading_at, *self.table.rows_at])
        for number, row in enumerate(new, last + 1):
            self._write(sheet, row, number)
            if row.like is not None and row.like.record:
                _dress(sheet, row.like.record, number, len(self.heading))
        for row in sorted(self.gone, key=lambda row: -row.record):
            if row.record:
                for place in range(1, len(self.heading) + 1):
                    sheet.cell(row.record, place).value = None
        stream = BytesIO()
        book.save(stream)
        return stream.getvalue()

    def _write(self, sheet: Any, row: ListRow, number: int) -> None:
        for place, column in enumerate(self.heading, 1):
            if column in row.touched:
                _put(sheet, number, place, row.text(column))

    def _refused(self, why: str) -> Refusal:
        return Refusal(
            f"{self.name} {why}, so that it is not written again", "a workbook with the list alone", complete=True
        )

    def _check(self) -> None:
        with ZipFile(BytesIO(self.held)) as parts:
            lost = next((name for name in parts.namelist() if _LOST.match(name)), None)
        if lost is not None:
            raise self._refused(f"holds {lost.split('/')[1]}, which would be lost")

    def _check_formulas(self, book: Any) -> None:
        """A formula keeps no value when a workbook is written, and the list could not be read before it is opened."""
        for sheet in book.worksheets:
            for line in sheet.iter_rows():
                for cell in line:
                    if cell.data_type == "f":
                        raise self._refused(
                            f"has a formula in {cell.coordinate} of {sheet.title}, which gives no value"
                        )


def _put(sheet: Any, row: int, column: int, text: str) -> None:
    """A text as it stands, whatever it begins with."""
    cell = sheet.cell(row, column)
    cell.value = text or None
    if text:
        cell.data_type = "s"
        cell.quotePrefix = text.startswith(FORMULA_SIGNS)


def _dress(sheet: Any, like: int, row: int, columns: int) -> None:
    """The looks of one row on another one."""
    from copy import copy

    for place in range(1, columns + 1):
        old, new = sheet.cell(like, place), sheet.cell(row, place)
        quoted = new.quotePrefix
        new._style = copy(old._style)
        new.quotePrefix = quoted


def open_list(path: Path, data: bytes, section: str) -> ListFile:
    """The list that these bytes hold. Raises Refusal where they hold none."""
    _, table = read_table(path, section, data)
    if table.faults:
        raise Refusal(f"{path.name}: {table.faults[0].summary}", "a list that can be read", complete=True)
    kind = _Spreadsheet if path.suffix.lower() == ".xlsx" else _CsvFile
    file = kind(path, table, section)
    file.held = data
    return file
