"""Where the value of a conductor was written: at the wire or cable itself, or in its wire type."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor
from wiring.plan.conductors import Cable, segments
from wiring.plan.source import Place

if TYPE_CHECKING:
    from wiring.design.design import Design


@dataclass(frozen=True, slots=True)
class Written:
    """The entry of a conductor: its section of the plan, its index there, its id, and its wire type ("" for none)."""

    section: str
    index: int
    id: str
    type: str


def written_entries(design: Design) -> Mapping[str, Written]:
    """The entry of every conductor by the conductor's id; bonded ends of a shield are left out."""
    found: dict[str, Written] = {}
    for index, wire in enumerate(design.plan.wires):
        entry = Written("wires", index, wire.wire, wire.type or "")
        found.update({piece.name: entry for piece in segments(wire)})
    for index, cable in enumerate(design.plan.cables):
        entry = Written("cables", index, cable.cable, cable.type or "")
        found.update({f"{cable.cable}.{core}": entry for core in cable.join})
    return found


def cable_of(design: Design, conductor: Conductor) -> Cable | None:
    """The cable that a core or a bonded shield belongs to."""
    return design.cables.get(conductor.cable or "")


def _is_own(design: Design, entry: Written, key: str) -> bool:
    return design.reading.node(entry.section, entry.index, key) is not None


def origin(design: Design, conductor: Conductor, key: str) -> str:
    """What a value comes from, in words: `type line`, `100` (a wire), `C1` (a cable)."""
    entry = design.written.get(conductor.id)
    if entry is None:
        return conductor.id
    return entry.id if not entry.type or _is_own(design, entry, key) else f"type {entry.type}"


def value_place(design: Design, conductors: Sequence[Conductor], key: str) -> Place:
    """Where a value is to be changed that these conductors share.

    In the wire type when all that takes it over is among them, else where the first of them writes it, else the
    first of them itself.
    """
    first = conductors[0]
    entry = design.written.get(first.id)
    if entry is None:
        return first.place
    if _is_own(design, entry, key):
        return design.reading.place(entry.section, entry.index, key) if entry.section == "wires" else first.place
    if not entry.type or design.reading.node("wire_types", entry.type, key) is None:
        return first.place
    names = {conductor.id for conductor in conductors}
    heirs = {name for name, other in design.written.items() if other.type == entry.type}
    own = {name for name in heirs if _is_own(design, design.written[name], key)}
    return design.reading.place("wire_types", entry.type, key) if heirs - own <= names else first.place
