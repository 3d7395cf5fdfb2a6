"""Labels: one for each end of each conductor and cable, and one for each part."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Conductor, named
from wiring.design.design import Design
from wiring.documents.table import Column, Table
from wiring.documents.wire_list import cables_in_order
from wiring.plan.conductors import Cable
from wiring.wording import natural

_COLUMNS = (Column("For"), Column("Label"), Column("Second line"))


class Label(Struct, frozen=True):
    """One label: what it is for, its text, and the smaller line below."""

    what: str
    text: str
    below: str


def labels(design: Design) -> list[Label]:
    """Every label, ends of wires first, then cores, cables and parts, each in natural order."""
    conductors = sorted(design.circuit.conductors, key=lambda one: natural(one.id))
    found = [label for kind in ("wire", "core") for c in conductors if c.kind == kind for label in _of_ends(c)]
    found += [label for cable in cables_in_order(design) for label in _of_cable(cable)]
    parts = sorted(design.parts.values(), key=lambda part: natural(part.name))
    return found + [Label("part", part.name, part.title) for part in parts]


def _of_ends(conductor: Conductor) -> Iterator[Label]:
    """A label at each end names the terminal that this end goes to."""
    for end in conductor.ends:
        yield Label(f"{conductor.kind} end", conductor.id, named(end))


def _of_cable(cable: Cable) -> Iterator[Label]:
    """A label at each end of the cable names the parts at that end."""
    for side in (0, 1):
        parts = dict.fromkeys(ends[side].part for ends in cable.join.values())
        yield Label("cable end", cable.cable, " ".join(sorted(parts, key=natural)) or cable.title)


def label_table(design: Design) -> Table:
    """The labels as a table, one row a label."""
    return Table("Labels", _COLUMNS, tuple((one.what, one.text, one.below) for one in labels(design)))
