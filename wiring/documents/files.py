"""Tables as CSV and as spreadsheets that no program runs."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from io import BytesIO, StringIO
from typing import Any

from wiring.documents.table import Cell, Table
from wiring.wording import FORMULA_SIGNS, spreadsheet_text

_DATE = (1980, 1, 1, 0, 0, 0)
#: What spreadsheet programs refuse in the name of a sheet.
_FORBIDDEN_IN_SHEET_NAMES = re.compile(r"[\[\]:*?/\\\t\n]")
_LONGEST_SHEET_NAME = 31
_RESERVED_SHEET_NAME = "history"


def looks_like_formulas(table: Table) -> bool:
    """Whether a text of the table gets an apostrophe in a CSV file."""
    return any(
        isinstance(cell, str) and spreadsheet_text(cell).startswith("'") != cell.startswith("'")
        for row in table.rows
        for cell in row
    )


def _file_cell(cell: Cell) -> str | int | float:
    if cell is None:
        return ""
    return round(cell, 6) if isinstance(cell, float) else cell


def as_csv(table: Table) -> str:
    """The table as CSV: comma, line feed, figures as bare numbers in SI units."""
    stream = StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow([spreadsheet_text(column.file_heading) for column in table.columns])
    for row in table.rows:
        cells = map(_file_cell, row)
        writer.writerow([spreadsheet_text(cell) if isinstance(cell, str) else cell for cell in cells])
    return stream.getvalue()


def as_xlsx(*tables: Table) -> bytes:
    """The tables as the sheets of a workbook, the same bytes for the same tables. No text in it is a formula."""
    from datetime import datetime

    from openpyxl import Workbook  # type: ignore[import-untyped]

    book = Workbook()
    book.remove(book.active)
    names: list[str] = []
    for table in tables:
        names.append(_sheet_name(table.title, names))
        _fill(book.create_sheet(names[-1]), table)
    book.properties.created = book.properties.modified = datetime(*_DATE)
    stream = BytesIO()
    book.save(stream)
    return _timeless(stream.getvalue())


def _sheet_name(title: str, taken: Sequence[str]) -> str:
    """The title as a sheet may be called, apart from those that are taken whatever their case."""
    clean = _FORBIDDEN_IN_SHEET_NAMES.sub(" ", _printable(title))[:_LONGEST_SHEET_NAME].strip(" '") or "Sheet"
    used = {name.casefold() for name in taken} | {_RESERVED_SHEET_NAME}
    name, number = clean, 1
    while name.casefold() in used:
        number += 1
        name = f"{clean[: _LONGEST_SHEET_NAME - len(str(number)) - 1]} {number}"
    return name


def _fill(sheet: Any, table: Table) -> None:
    from openpyxl.styles import Font  # type: ignore[import-untyped]
    from openpyxl.utils import get_column_letter  # type: ignore[import-untyped]

    lines = [tuple(column.file_heading for column in table.columns), *table.rows]
    for number, line in enumerate(lines, 1):
        for place, value in enumerate(map(_file_cell, line), 1):
            if value == "":
                continue
            cell = sheet.cell(number, place)
            if isinstance(value, str):
                cell.value = _printable(value)
                cell.data_type = "s"
                cell.quotePrefix = value.startswith(FORMULA_SIGNS)
            else:
                cell.value = value
            cell.font = Font(bold=number == 1)
    sheet.freeze_panes = "A2"
    for place in range(1, len(table.columns) + 1):
        widest = max(len(str(_file_cell(line[place - 1]))) for line in lines)
        sheet.column_dimensions[get_column_letter(place)].width = min(max(widest, 4), 50) + 2


def _printable(text: str) -> str:
    """The text without the control characters that the format forbids."""
    clean = "".join(letter for letter in text if letter >= " " or letter in "\t\n")
    return clean.encode("utf-8", "replace").decode()


def _timeless(data: bytes) -> bytes:
    """The same archive without the time of its making, so that the same plan gives the same bytes."""
    from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

    stream = BytesIO()
    with ZipFile(BytesIO(data)) as old, ZipFile(stream, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>1980-01-01T00:00:00Z", content)
            info = ZipInfo(name, _DATE)
            info.compress_type = ZIP_DEFLATED
            new.writestr(info, content)
    return stream.getvalue()
