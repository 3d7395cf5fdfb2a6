"""The terminal plan: every point of every strip, plug and earth bar with what is wired to either side of it."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor, Node
from wiring.design.design import Design
from wiring.documents.ends import Ends, end_words
from wiring.documents.table import Cell, Column, Table
from wiring.drawing.strips import bridges, sides, strips
from wiring.parts.base import Part

_COLUMNS = (
    Column("Strip"),
    Column("Point"),
    Column("Inner conductor"),
    Column("Inner end at"),
    Column("Bridge"),
    Column("Outer conductor"),
    Column("Outer end at"),
    Column("Remark"),
)
_NOTE = (
    "Cable cores and shields stand on the outer side, wires of the cabinet on the inner side; "
    "a second wire at a point takes the outer side where that is free."
)


def terminal_table(design: Design, ends: Ends) -> Table:
    """The terminal plan; a point without a conductor is a spare."""
    rows = [row for part in strips(design) for row in _rows(design, part, ends)]
    return Table("Terminal plan", _COLUMNS, tuple(rows), (_NOTE,))


def _rows(design: Design, part: Part, ends: Ends) -> Iterator[tuple[Cell, ...]]:
    bridge = bridges(part)
    for point in part.terminals:
        node = (part.name, point)
        inner, outer = sides(design.circuit.conductors_at(node))
        for line in range(max(len(inner), len(outer), 1)):
            remark = "spare" if not inner and not outer else ""
            yield (
                part.name,
                point,
                *_side(inner, line, node, ends),
                bridge.get(point, ""),
                *_side(outer, line, node, ends),
                remark,
            )


def _side(conductors: list[Conductor], line: int, node: Node, ends: Ends) -> tuple[str, str]:
    if line >= len(conductors):
        return "", ""
    conductor = conductors[line]
    far = conductor.other(node)
    zone = ends.zone(conductor.id, far)
    return conductor.id, f"{end_words(conductor, far)} {zone}".strip()
