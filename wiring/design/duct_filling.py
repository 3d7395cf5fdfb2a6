"""What lies in every duct and conduit, and how full they may be."""

from __future__ import annotations

from msgspec import Struct, field

from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.plan.conductors import Route
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.fill import WAYS, fill_limit, outer_diameter, round_area_mm2

_OWN = Source("the plan", "", "enclosure, duct_fill", Standing.COMPUTED)


class DuctLoad(Struct):
    """What lies in one duct: the room that is known [mm2], and the conductors and cables whose room is not."""

    area_mm2: float = 0.0
    names: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)

    def add(self, name: str, diameter: float | Limit | None) -> None:
        """One more conductor or cable of a diameter that is given or tabled [mm]."""
        self.names.append(name)
        if diameter is None:
            self.unknown.append(name)
        elif isinstance(diameter, Limit):
            self.area_mm2 += round_area_mm2(diameter.value)
            self.sources.append(diameter.source)
        else:
            self.area_mm2 += round_area_mm2(diameter)


def _diameter_mm(conductor: Conductor) -> Limit | None:
    found = outer_diameter(conductor.size) if conductor.size else None
    return found if isinstance(found, Limit) else None


def duct_loads(design: Design) -> dict[str, DuctLoad]:
    """What lies in each duct and conduit; a chain and a cable once."""
    found = {name: DuctLoad() for name, route in design.plan.routes.items() if route.kind in WAYS}
    seen: set[tuple[str, str]] = set()
    for conductor in design.circuit.conductors:
        load = found.get(conductor.route or "")
        if load is None:
            continue
        entry = design.origins.of_conductor.get(conductor.id)
        name = conductor.cable or (entry.id if entry and design.plan.wires[entry.index].through else conductor.id)
        if (conductor.route or "", name) in seen:
            continue
        seen.add((conductor.route or "", name))
        cable = design.origins.cable_of(conductor)
        load.add(name, (cable.diameter * 1000 if cable.diameter else None) if cable else _diameter_mm(conductor))
    return found


def filling_limit(design: Design, route: Route, count: int) -> Limit | NotTabled:
    """How full a duct or conduit may be [%]: by its book, or less where the plan asks so."""
    book = fill_limit(design.plan.rulebook, route.kind, max(count, 1))
    own = design.plan.enclosure.duct_fill if design.plan.enclosure else None
    if own is None or route.kind != "duct" or isinstance(book, NotTabled):
        return book
    if design.plan.rulebook == "na" and 100 * own >= book.value:
        return book
    return Limit(100 * own, "%", _OWN, "the filling that the plan asks for")
