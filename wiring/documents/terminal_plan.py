"""The terminal plan: every point of every strip, plug and earth bar with what is wired to either side of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wiring.circuit.model import Conductor, Node
from wiring.design.design import Design
from wiring.documents.ends import Ends, end_words
from wiring.documents.table import Cell, Column, Table
from wiring.parts.base import Part
from wiring.parts.passive import Connector, EarthBar, Terminals, bridge_points
from wiring.wording import natural

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


def strips(design: Design) -> list[Part]:
    """The parts that only join conductors, in the natural order of their names."""
    found = [part for part in design.parts.values() if isinstance(part.data, Terminals | Connector | EarthBar)]
    return sorted(found, key=lambda part: natural(part.name))


def sides(conductors: tuple[Conductor, ...]) -> tuple[list[Conductor], list[Conductor]]:
    """The conductors of a point on its inner and its outer side."""
    outer = [conductor for conductor in conductors if conductor.cable is not None]
    inner = [conductor for conductor in conductors if conductor.cable is None]
    if len(inner) > 1 and not outer:
        return inner[:1], inner[1:]
    return inner, outer


def bridges(part: Part) -> Mapping[str, str]:
    """The bridge at each point, as the plan writes it: 1-5."""
    data = part.data
    if isinstance(data, EarthBar):
        return dict.fromkeys(part.terminals, "bar")
    if not isinstance(data, Terminals):
        return {}
    found: dict[str, list[str]] = {}
    for bridge in data.bridged:
        for point in bridge_points(bridge):
            found.setdefault(point, []).append(bridge)
    for point in data.earth_points:
        found.setdefault(point, []).append("rail")
    names = dict(data.terminals)
    return {names.get(point, point): " ".join(runs) for point, runs in found.items()}


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
