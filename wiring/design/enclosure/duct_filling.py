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


def _counted(design: Design, conductor: Conductor) -> str:
    """What counts once: a chain, a cable, or the conductor itself."""
    entry = design.origins.of_conductor.get(conductor.id)
    return conductor.cable or (entry.id if entry and design.plan.wires[entry.index].through else conductor.id)


def _add(design: Design, load: DuctLoad, conductor: Conductor) -> None:
    name, cable = _counted(design, conductor), design.origins.cable_of(conductor)
    if name not in load.names:
        load.add(name, (cable.diameter * 1000 if cable.diameter else None) if cable else _diameter_mm(conductor))
    if cable is not None and not cable.diameter and (core := _diameter_mm(conductor)) is not None:
        load.area_mm2 += round_area_mm2(core.value)  # a cable takes more room than all of its cores


def duct_loads(design: Design) -> dict[str, DuctLoad]:
    """What lies in each duct and conduit of the routes; a chain and a cable once."""
    found = {name: DuctLoad() for name, route in design.plan.routes.items() if route.kind in WAYS}
    for conductor in design.circuit.conductors:
        if (conductor.route or "") in found:
            _add(design, found[conductor.route or ""], conductor)
    return found


def laid_loads(design: Design) -> dict[str, DuctLoad]:
    """What lies at the fullest place of each duct on the plate, where parts have positions."""
    laid = design.machine.laid
    pieces: dict[str, list[tuple[float, float, Conductor]]] = {}
    for name, course in laid.of.items() if laid else ():
        for piece in course.pieces:
            pieces.setdefault(piece.duct, []).append((piece.start, piece.end, design.circuit.conductor[name]))
    return {duct: _fullest(design, pieces[duct]) for duct in sorted(pieces)}


def _fullest(design: Design, pieces: list[tuple[float, float, Conductor]]) -> DuctLoad:
    """The load just behind the beginning of some piece that has the largest area, or else most conductors."""
    alone: dict[str, float] = {}
    for _, _, conductor in pieces:
        load = DuctLoad()
        _add(design, load, conductor)
        alone[conductor.id] = load.area_mm2
    held: list[tuple[float, int, list[Conductor]]] = []
    for place in sorted({start for start, _, _ in pieces}):
        there = {_counted(design, one): one for start, end, one in pieces if start <= place <= end}
        held.append((sum(alone[one.id] for one in there.values()), len(there), list(there.values())))
    fullest = DuctLoad()
    for conductor in max(held, key=lambda one: one[:2])[2]:
        _add(design, fullest, conductor)
    return fullest


def duct_limit(design: Design, count: int) -> Limit | NotTabled:
    """How full a duct may be [%]: by its book, or less where the plan asks so."""
    return _limit(design, "duct", count)


def filling_limit(design: Design, route: Route, count: int) -> Limit | NotTabled:
    """The same for a duct or conduit of the routes."""
    return _limit(design, route.kind, count)


def _limit(design: Design, kind: str, count: int) -> Limit | NotTabled:
    book = fill_limit(design.plan.rulebook, kind, max(count, 1))
    own = design.plan.enclosure.duct_fill if design.plan.enclosure else None
    if own is None or kind != "duct" or isinstance(book, NotTabled):
        return book
    if design.plan.rulebook == "na" and 100 * own >= book.value:
        return book
    return Limit(100 * own, "%", _OWN, "the filling that the plan asks for")
