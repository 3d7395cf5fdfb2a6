"""Spares: what is there and not wired, for the next addition or the next repair."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.documents.table import Cell, Column, Table
from wiring.documents.wire_list import cables_in_order
from wiring.drawing.strips import bridges, strips
from wiring.parts.base import Part
from wiring.parts.elements import Function, Pole, Switch
from wiring.wording import natural

_COLUMNS = (Column("Where"), Column("Spare"), Column("What"), Column("Title"))
_LONE = {Function.INPUT: "input", Function.OUTPUT: "output"}


def spare_table(design: Design) -> Table:
    """Free points of strips, free contacts and poles, free inputs and outputs, and free cores of cables."""
    rows = [*_points(design), *_contacts(design), *_cores(design)]
    return Table("Spares", _COLUMNS, tuple(rows))


def _points(design: Design) -> Iterator[tuple[Cell, ...]]:
    for part in strips(design):
        bridge = bridges(part)
        for point in part.terminals:
            if not design.circuit.conductors_at((part.name, point)):
                run = bridge.get(point, "")
                what = "point" if run in ("", "bar") else f"point, bridged {run}"
                yield (part.name, point, what, part.data.title)


def _contacts(design: Design) -> Iterator[tuple[Cell, ...]]:
    names = {part.name for part in strips(design)}
    for part in sorted(design.parts.values(), key=lambda part: natural(part.name)):
        if part.name not in names:
            yield from _of_part(design, part)


def _of_part(design: Design, part: Part) -> Iterator[tuple[Cell, ...]]:
    taken = {node for node in part.terminals if design.circuit.conductors_at((part.name, node))}
    paired = set()
    for element in part.elements:
        if not isinstance(element, Switch | Pole):
            continue
        paired |= {element.a, element.b}
        inner = any(end not in part.terminals for end in (element.a, element.b))
        if not inner and not taken & {element.a, element.b}:
            yield (part.name, element.name, _contact_words(element), part.data.title)
    for terminal in part.terminals.values():
        free = terminal.name not in taken and terminal.name not in paired
        if free and terminal.function in _LONE and not terminal.required:
            yield (part.name, terminal.name, _LONE[terminal.function], part.data.title)


def _contact_words(element: Switch | Pole) -> str:
    if isinstance(element, Pole):
        return "pole"
    return "break contact" if element.closed_at_rest else "make contact"


def _cores(design: Design) -> Iterator[tuple[Cell, ...]]:
    for cable in cables_in_order(design):
        free = (cable.cores or 0) - len(cable.join)
        if free > 0:
            yield (cable.cable, f"{free} of {cable.cores}", "cores", cable.title)
