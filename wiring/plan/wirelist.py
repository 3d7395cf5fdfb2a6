"""Wires and cables from a table, as the nodes that a plan would have.

A wire is one row. A cable is one row for each core: the first row of a cable carries what holds for the whole of it,
further rows with the same id only their core.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from wiring.plan.fault import Fault
from wiring.plan.source import Node, Place, Source, Span
from wiring.plan.wiretable import CORE_COLUMNS, SHIELD_COLUMNS, Cell, Row, Table, read_table


def load_list(
    path: Path, section: str, named_at: Place, held: bytes | None = None
) -> tuple[Source | None, Node, list[Fault]]:
    """Source, sequence of `wires` or `cables`, and faults of the list at the path; `named_at` is where it is named.

    `held` is what stands there in place of what the file holds.
    """
    file = str(path)
    source, table = read_table(path, section, held)
    if not table.faults and table.header is None:
        table.fault((1, 1, 1), "the list is empty", f"a heading row with {', '.join(table.columns)}")
    items = _wires(table) if section == "wires" else _cables(table)
    sequence = Node(file, [item.data for item in items], (1, 1, 1), items)
    faults = [
        Fault(fault.place or named_at, fault.summary, fault.expected, fault.mend, fault.near) for fault in table.faults
    ]
    return source or Source(file, ()), sequence, faults


def _leaf(table: Table, cell: Cell) -> Node:
    return Node(table.file, cell.text, cell.span)


def _words(table: Table, cell: Cell) -> list[Node]:
    return [Node(table.file, word, cell.span) for word in cell.text.split()]


def _sequence(table: Table, nodes: list[Node], span: Span) -> Node:
    return Node(table.file, [node.data for node in nodes], span, nodes)


def _mapping(table: Table, entries: dict[str, Node], span: Span) -> Node:
    keys = {key: node.span for key, node in entries.items()}
    return Node(table.file, {key: node.data for key, node in entries.items()}, span, dict(entries), keys)


def _start(row: Row) -> Span:
    return next(iter(row.values())).span


def _wires(table: Table) -> list[Node]:
    return [_mapping(table, dict(_wire_entries(table, row)), _start(row)) for row in table.rows]


def _wire_entries(table: Table, row: Row) -> Iterator[tuple[str, Node]]:
    for name, cell in row.items():
        if name == "through":
            yield name, _sequence(table, _words(table, cell), cell.span)
        elif name == "star":
            start, *ends = _words(table, cell)
            yield name, _mapping(table, {"from": start, "to": _sequence(table, ends, cell.span)}, cell.span)
        else:
            yield name, _leaf(table, cell)


def _cables(table: Table) -> list[Node]:
    by_id: dict[str, list[Row]] = {}
    for row in table.rows:
        if "cable" in row:
            by_id.setdefault(row["cable"].text, []).append(row)
        else:
            table.fault(_start(row), "this row names no cable", "the id of the cable in column `cable`")
    return [_cable(table, rows) for rows in by_id.values()]


def _cable(table: Table, rows: list[Row]) -> Node:
    first, start = rows[0], _start(rows[0])
    entries: dict[str, Node] = {}
    for name, cell in first.items():
        if name == "colours":
            entries[name] = _colours(table, cell)
        elif name not in (*CORE_COLUMNS, *SHIELD_COLUMNS):
            entries[name] = _leaf(table, cell)
    if "shield" in first or "shield_method" in first:
        entries["shield"] = _shield(table, first)
    for row in rows[1:]:
        for name, cell in row.items():
            if name not in ("cable", *CORE_COLUMNS) and (name not in first or first[name].text != cell.text):
                table.fault(
                    cell.span,
                    f"{name} of cable {row['cable'].text[:40]!r} differs from its first row",
                    "it stands in the first row",
                )
    entries["join"] = _mapping(table, _cores(table, rows), start)
    sizes = {row["core"].text: _leaf(table, row["core_size"]) for row in rows if "core" in row and "core_size" in row}
    if sizes:
        entries["sizes"] = _mapping(table, sizes, start)
    labels = {
        row["core"].text: _leaf(table, row["core_label"]) for row in rows if "core" in row and "core_label" in row
    }
    if labels:
        entries["labels"] = _mapping(table, labels, start)
    return _mapping(table, entries, start)


def _colours(table: Table, cell: Cell) -> Node:
    """Colours in the order of the cores, or by their label: `BK BN`, `1:BK 2:BN`."""
    words = _words(table, cell)
    pairs = [word.data.split(":", 1) for word in words]
    if not all(len(pair) == 2 for pair in pairs):
        return _sequence(table, words, cell.span)
    return _mapping(table, {core: Node(table.file, colour, cell.span) for core, colour in pairs}, cell.span)


def _shield(table: Table, row: Row) -> Node:
    entries: dict[str, Node] = {}
    if "shield" in row:
        entries["ends"] = _sequence(table, _words(table, row["shield"]), row["shield"].span)
    if "shield_method" in row:
        entries["method"] = _leaf(table, row["shield_method"])
    return _mapping(table, entries, _start(row))


def _cores(table: Table, rows: list[Row]) -> dict[str, Node]:
    cores: dict[str, Node] = {}
    for row in rows:
        if "core" not in row:
            if any(name in row for name in CORE_COLUMNS):
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
