"""The ladders of conductors: one for every place in the plan where a size is, or may be, written.

A wire that takes the size of its type has a ladder of its own: it can leave the type where it must be thicker.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.design.plan_origin import PlanOrigin
from wiring.requirement import Quantity
from wiring.sizing.ladder import Ladder, Sort, Step, ladder_of

Place = tuple[tuple[str | int, ...], str, str]


def conductor_ladders(design: Design) -> Iterator[Ladder]:
    """Every conductor of known size, those of one place together."""
    placed: dict[Place, list[Conductor]] = {}
    for conductor in design.circuit.conductors:
        entry = design.origins.of_conductor.get(conductor.id)
        if entry is not None and conductor.size is not None and conductor.kind != "shield":
            place = _place(design, conductor, entry)
            if place is not None:
                placed.setdefault(place, []).append(conductor)
    steps = [Step(size.area_mm2, size.area_mm2, size.text, size) for size in design.book.standard_sizes()]
    for (path, name, wire_type), conductors in placed.items():
        size = conductors[0].size
        assert size is not None
        now = Step(size.area_mm2, size.area_mm2, size.text, size)
        ids = tuple(conductor.id for conductor in conductors)
        found = ladder_of(Sort.CONDUCTOR, Quantity.AREA, name, now, steps, ids)
        yield Ladder(found.sort, found.quantity, name, ids, found.steps, found.now, path, wire_type)


def _place(design: Design, conductor: Conductor, entry: PlanOrigin) -> Place | None:
    """Where the size of a conductor is written or may be, what that is called, and the type that gives it."""
    core = conductor.id.removeprefix(f"{entry.id}.")
    if design.reading.node("cables", entry.index, "sizes", core) is not None and entry.section == "cables":
        return ("cables", entry.id, "sizes", core), f"{entry.id}.{core}", ""
    path = (entry.section, entry.id, "size")
    if design.reading.node(entry.section, entry.index, "size") is not None:
        return path, entry.id, ""
    if entry.type and design.reading.node("wire_types", entry.type, "size") is not None:
        return path, entry.id, entry.type
    return None
