"""The wire list: one row for each piece of conductor that is cut, pieces of a chain one by one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from csv import reader
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from msgspec.structs import replace

from wiring.design.design import Design
from wiring.documents.ends import Ends
from wiring.documents.table import Column, Table
from wiring.plan.conductors import Cable, Segment, Wire, segments
from wiring.plan.listwriter import write_cables, write_wires
from wiring.plan.records import TerminalRef
from wiring.plan.wiretable import CABLE_COLUMNS, WIRE_COLUMNS
from wiring.wording import natural

_WIRE_COLUMNS = (
    Column("Wire"),
    Column("From"),
    Column("Sheet"),
    Column("To"),
    Column("Sheet"),
    Column("Size"),
    Column("Colour"),
    Column("Length", "m"),
    Column("Ferrules"),
    Column("Route"),
    Column("Title"),
)
#: Columns that are left out where no wire says anything, and what is said in their stead.
_SAID_ONCE = {"Ferrules": "No wire says whether its ends get ferrules (`ferrule: true`).", "Route": "", "Title": ""}
_FERRULES = {True: "yes", False: "no", None: None}


def pieces(design: Design) -> list[Wire]:
    """Every piece of every wire as a wire of its own, in the natural order of their names."""
    found = [
        wire.model_copy(update={**_piece(p), "length": design.circuit.conductor[p.name].length_m})
        for wire in design.plan.wires
        for p in segments(wire)
    ]
    return sorted(found, key=lambda wire: natural(wire.wire))


def cables_in_order(design: Design) -> list[Cable]:
    """The cables in the natural order of their names."""
    laid = [cable.model_copy(update={"length": _length(design, cable)}) for cable in design.plan.cables]
    return sorted(laid, key=lambda cable: natural(cable.cable))


def _length(design: Design, cable: Cable) -> float | None:
    """That of its cores, which is its own or that of its way."""
    cores = [one for one in design.circuit.cables.get(cable.cable, ()) if one.kind == "core"]
    return cores[0].length_m if cores else cable.length


def _piece(piece: Segment) -> dict[str, Any]:
    return {"wire": piece.name, "start": piece.start, "to": piece.end, "through": None, "star": None}


def wire_table(design: Design, ends: Ends) -> Table:
    """The wire list for the bench, with the sheet and zone of both ends."""
    rows = []
    for wire in pieces(design):
        a, b = (wire.start.part, wire.start.terminal), (wire.to.part, wire.to.terminal)  # type: ignore[union-attr]
        rows.append(
            (
                wire.wire,
                str(wire.start),
                ends.zone(wire.wire, a),
                str(wire.to),
                ends.zone(wire.wire, b),
                wire.size.text if wire.size else None,
                wire.colour,
                wire.length,
                _FERRULES[wire.ferrule],
                wire.route or "",
                wire.title,
            )
        )
    table = Table("Wires", _WIRE_COLUMNS, tuple(rows), feet=design.plan.rulebook == "na")
    return table.without_empty(_SAID_ONCE) if rows else table


def wire_input(design: Design, ends: Ends) -> Table:
    """The wire list in the columns that a plan reads under `wires`, chains in one row as the plan has them; pieces,
    and sheet and zone where `ends` give them, stand in columns for people."""
    wires = sorted(design.plan.wires, key=lambda wire: natural(wire.wire))
    table = _as_input("Wires", write_wires, wires, WIRE_COLUMNS)
    cut = [list(segments(wire)) for wire in wires]
    names = [" ".join(piece.name for piece in pieces) if len(pieces) > 1 else "" for pieces in cut]
    places = [[_places(ends, one.name, one.start, one.end) for one in pieces] for pieces in cut]
    return _for_people(
        _for_people(table, "[pieces]", names), "[sheets]", ["; ".join(filter(None, one)) for one in places]
    )


def cable_input(design: Design, ends: Ends) -> Table:
    """The cable list in the columns that a plan reads under `cables`, places as in that of wires."""
    cables = sorted(design.plan.cables, key=lambda cable: natural(cable.cable))
    places = [
        _places(ends, f"{cable.cable}.{core}", start, end)
        for cable in cables
        for core, (start, end) in cable.join.items() or {"": (None, None)}.items()
    ]
    return _for_people(_as_input("Cables", write_cables, cables, CABLE_COLUMNS), "[sheets]", places)


def _places(ends: Ends, conductor: str, *refs: TerminalRef | None) -> str:
    """Sheet and zone of both ends, "" where they are not drawn."""
    zones = [ends.zone(conductor, (ref.part, ref.terminal)) for ref in refs if ref]
    return " to ".join(zones) if all(zones) else ""


def _for_people(table: Table, heading: str, cells: Sequence[str]) -> Table:
    """The table with one more column, unless that says nothing; a plan passes over headings in brackets."""
    if not any(cells):
        return table
    rows = tuple((*row, cell) for row, cell in zip(table.rows, cells, strict=True))
    return replace(table, columns=(*table.columns, Column(heading)), rows=rows)


def _as_input(
    title: str, write: Callable[[Path, Iterable[Any]], None], items: Sequence[Any], columns: Sequence[str]
) -> Table:
    """What the writer of plan input writes, as a table; of an empty list all headings."""
    if not items:
        return Table(title, tuple(map(Column, columns)), ())
    with TemporaryDirectory() as folder:
        path = Path(folder) / "list.csv"
        write(path, items)
        with path.open(encoding="utf-8", newline="") as file:
            heading, *rows = reader(file)
    return Table(title, tuple(map(Column, heading)), tuple(map(tuple, rows)))
