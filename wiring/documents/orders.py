"""What is ordered where: the parts of the bill by their supplier, with the sum of each order."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.documents.bill import Line, part_lines, total
from wiring.documents.table import Column, Table
from wiring.wording import counted, natural

_COLUMNS = (
    Column("Supplier"),
    Column("Quantity"),
    Column("What"),
    Column("For"),
    Column("Order code"),
    Column("Price each"),
    Column("Price"),
)


def orders(design: Design) -> dict[str, list[Line]]:
    """The lines of the bill that have a supplier, by its name."""
    found: dict[str, list[Line]] = {}
    for line in part_lines(design):
        found.setdefault(line.supplier, []).append(line)
    return {name: found[name] for name in sorted(found, key=natural) if name}


def order_table(design: Design) -> Table:
    """The orders of all suppliers one after the other, with their sums below."""
    found = orders(design)
    rows = tuple((name, *line.cells) for name, lines in found.items() for line in lines)
    left = len(part_lines(design)) - len(rows)
    notes = [_sum(name, lines) for name, lines in found.items()]
    if left:
        notes.append(f"{counted(left, 'line')} of the bill have no `supplier` in the plan; material has none.")
    return Table("Orders", _COLUMNS, rows, tuple(notes))


def order_tables(design: Design) -> tuple[Table, ...]:
    """One table a supplier, for the sheets of a workbook; the empty one of all where no part has a supplier."""
    found = orders(design)
    if not found:
        return (order_table(design),)
    return tuple(
        Table(name, _COLUMNS[1:], tuple(line.cells for line in lines), (_sum(name, lines),))
        for name, lines in found.items()
    )


def _sum(name: str, lines: list[Line]) -> str:
    known = [line.price for line in lines if line.price]
    without = len(lines) - len(known)
    if not known:
        return f"{name}: {counted(len(lines), 'line')}, none with a price that can be counted."
    rest = f", {counted(without, 'line')} without a price that can be counted" if without else ""
    return f"{name}: {counted(len(lines), 'line')}, {total(known)}{rest}."
