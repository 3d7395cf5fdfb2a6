"""The cable list: one row for each core and each bonded end of a shield."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.documents.ends import Ends
from wiring.documents.table import Cell, Column, Table
from wiring.documents.wire_list import cables_in_order
from wiring.plan.conductors import Cable

_COLUMNS = (
    Column("Cable"),
    Column("Core"),
    Column("From"),
    Column("Sheet"),
    Column("To"),
    Column("Sheet"),
    Column("Size"),
    Column("Colour"),
    Column("Length", "m"),
    Column("Route"),
    Column("Title"),
)


def cable_table(design: Design, ends: Ends) -> Table:
    """The cable list for the bench, with the sheet and zone of both ends of every core."""
    rows = [row for cable in cables_in_order(design) for row in _rows(design, cable, ends)]
    return Table("Cables", _COLUMNS, tuple(rows), feet=design.plan.rulebook == "na")


def _rows(design: Design, cable: Cable, ends: Ends) -> Iterator[tuple[Cell, ...]]:
    tail = (cable.length, cable.route or "", cable.title)
    for core, (start, end) in cable.join.items():
        name = f"{cable.cable}.{core}"
        conductor = design.circuit.conductor.get(name)
        a, b = (start.part, start.terminal), (end.part, end.terminal)
        size = cable.size_of(core)
        colour = conductor.colour if conductor else None
        yield (
            cable.cable,
            core,
            str(start),
            ends.zone(name, a),
            str(end),
            ends.zone(name, b),
            size.text if size else None,
            colour or "",
            *tail,
        )
    spare = (cable.cores or 0) - len(cable.join)
    if spare > 0:
        yield (cable.cable, f"{spare} spare", "", "", "", "", cable.size.text if cable.size else None, "", *tail)
    for ref in cable.shield.ends if cable.shield else ():
        method = f"shield, {cable.shield.method}" if cable.shield and cable.shield.method else "shield"
        yield (cable.cable, method, "", "", str(ref), "", "", "", *tail)
