"""Writes wires and cables as a table with the columns that `wirelist` reads, so that a list comes back as it was."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from wiring.plan.conductors import Cable, Wire, WireType
from wiring.plan.records import TerminalRef
from wiring.plan.wiretable import CABLE_COLUMNS, WIRE_COLUMNS
from wiring.wording import FORMULA_SIGNS

Row = dict[str, str]


def write_wires(path: Path, wires: Iterable[Wire]) -> None:
    """Writes a wire list, CSV or XLSX by the suffix of the path; only columns that hold something are written."""
    _write(path, WIRE_COLUMNS, [_wire_row(wire) for wire in wires])


def write_cables(path: Path, cables: Iterable[Cable]) -> None:
    """Writes a cable list, CSV or XLSX by the suffix of the path, one row for each core."""
    _write(path, CABLE_COLUMNS, [row for cable in cables for row in _cable_rows(cable)])


def _number(value: float, unit: str) -> str:
    text = repr(value)
    return f"{text.removesuffix('.0')} {unit}"


def _flag(value: bool | None) -> str:
    return "" if value is None else str(value).lower()


def _refs(refs: Iterable[TerminalRef]) -> str:
    return " ".join(str(ref) for ref in refs)


def _shared(item: WireType) -> Row:
    return {
        "size": item.size.text if item.size else "",
        "colour": item.colour or "",
        "insulation": item.insulation or "",
        "rated": "" if item.rated is None else _number(item.rated, "V"),
        "length": "" if item.length is None else _number(item.length, "m"),
        "route": item.route or "",
        "ferrule": _flag(item.ferrule),
        "conductor_class": item.conductor_class or "",
        "thermocouple": item.thermocouple or "",
    }


def _wire_row(wire: Wire) -> Row:
    star = [wire.star.start, *wire.star.to] if wire.star else []
    return _shared(wire) | {
        "wire": wire.wire,
        "from": str(wire.start or ""),
        "to": str(wire.to or ""),
        "through": _refs(wire.through or ()),
        "star": _refs(star),
        "type": wire.type or "",
        "title": wire.title,
    }


def _colours(cable: Cable) -> str:
    if isinstance(cable.colours, dict):
        return " ".join(f"{core}:{colour}" for core, colour in cable.colours.items())
    return " ".join(cable.colours or ())


def _cable_rows(cable: Cable) -> list[Row]:
    whole = _shared(cable) | {
        "title": cable.title,
        "type": cable.type or "",
        "cores": "" if cable.cores is None else str(cable.cores),
        "colours": _colours(cable),
        "flexing": _flag(cable.flexing),
        "diameter": "" if cable.diameter is None else _number(cable.diameter, "m"),
        "shield": _refs(cable.shield.ends) if cable.shield else "",
        "shield_method": (cable.shield.method or "") if cable.shield else "",
    }
    rows = [
        {"cable": cable.cable, "core": label, "from": str(start), "to": str(end)}
        | ({"core_size": cable.sizes[label].text} if label in cable.sizes else {})
        | ({"core_label": cable.labels[label]} if label in cable.labels else {})
        for label, (start, end) in cable.join.items()
    ]
    return [whole | row if number == 0 else row for number, row in enumerate(rows or [{"cable": cable.cable}])]


def _write(path: Path, columns: Sequence[str], rows: Sequence[Row]) -> None:
    kept = [name for name in columns if any(row.get(name) for row in rows)]
    table = [kept, *([row.get(name, "") for name in kept] for row in rows)]
    if path.suffix.lower() == ".xlsx":
        _write_spreadsheet(path, table)
        return
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(table)


def _write_spreadsheet(path: Path, table: Sequence[Sequence[str]]) -> None:
    from openpyxl import Workbook  # type: ignore[import-untyped]

    book = Workbook(write_only=True)
    sheet = book.create_sheet()
    for row in table:
        sheet.append([_text_cell(sheet, text) for text in row])
    book.save(path)


def _text_cell(sheet: Any, text: str) -> Any:
    """A cell that holds the text as it stands, whatever it begins with."""
    from openpyxl.cell import WriteOnlyCell  # type: ignore[import-untyped]

    cell = WriteOnlyCell(sheet, value=text or None)
    if text:
        cell.data_type = "s"
        cell.quotePrefix = text.startswith(FORMULA_SIGNS)
    return cell
