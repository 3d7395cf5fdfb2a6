"""What every conductor carries and may carry: current, ampacity, drop, temperature."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil, hypot
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.use import use_of
from wiring.plan.insulation import INSULATION
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.book import Rulebook
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.conductors import loaded_temperature_c
from wiring.rulebooks.laying import Laying

if TYPE_CHECKING:
    from wiring.design.design import Design

#: Length and resistance taken for the network where a plan does not give them; what rests on them is not judged.
ASSUMED_LENGTH_M = 1.0
ASSUMED_OHM_PER_M = 0.02
#: A conductor loaded below this share of its grouped ampacity heats no neighbour: IEC 60364-5-52, 523.5; for control
#: circuits NFPA 70, 724.51(A), while power conductors all count there (both from memory).
LIGHTLY_LOADED = {"iec": 0.30, "na": 0.10}
#: Insulation temperature taken where the plan names none [°C]: the lowest in common use.
ASSUMED_INSULATION_C = {"iec": 70.0, "na": 60.0}
#: Single conductors in a wireway are not adjusted up to this number (NFPA 70, 376.22(B), from memory).
WIREWAY_FREE = 30
_CARRYING = (Role.LIVE, Role.NEUTRAL, Role.PLUS, Role.ZERO, Role.AC, Role.MOTOR, Role.SIGNAL)


@dataclass(frozen=True, slots=True)
class ConductorFigure:
    """One conductor in its worst state. `ampacity` is a limit, or the reason why there is none.

    `drop_v` is along this conductor alone. `temperature_c` is None where the ampacity is not known.
    """

    current_a: float
    state: str
    ampacity: Limit | NotTabled
    drop_v: float
    temperature_c: float | None
    insulation_c: float
    laying: Laying

    @property
    def ambient_c(self) -> float:
        """Air temperature around it [°C]."""
        return self.laying.ambient_c


def conductor_ohm(book: Rulebook, conductor: Conductor, temperature_c: float) -> float:
    """Resistance of a conductor at a temperature [ohm]; assumed values where its size or length is not given."""
    length = ASSUMED_LENGTH_M if conductor.length_m is None else conductor.length_m
    if conductor.size is None:
        return ASSUMED_OHM_PER_M * length
    per_m = book.resistance_ohm_per_m(conductor.size, conductor.conductor_class or "5", temperature_c)
    return (per_m.value if isinstance(per_m, Limit) else ASSUMED_OHM_PER_M) * length


def insulation_c(design: Design, conductor: Conductor) -> float:
    """Highest temperature of the conductor's insulation [°C]."""
    known = INSULATION.get(conductor.insulation or "")
    return known.highest_c if known else ASSUMED_INSULATION_C[design.plan.rulebook]


def ambient_c(design: Design, conductor: Conductor) -> float:
    """Air temperature around a conductor [°C]: its route's own, the site's outside, the computed one in the cabinet."""
    route = design.plan.routes.get(conductor.route or "")
    if route and route.ambient is not None:
        return route.ambient
    return design.ambient_c if is_outside(design, conductor) else max(design.inside.inside_c, design.ambient_c)


def is_outside(design: Design, conductor: Conductor) -> bool:
    """Whether a conductor lies outside the cabinet: by its route, else by the parts at its ends."""
    route = design.plan.routes.get(conductor.route or "")
    if route:
        return route.at in ("machine", "outside")
    places = {design.parts[end[0]].data.at for end in conductor.ends if end[0] in design.parts}
    return bool(places & {"machine", "outside"})


def _currents(design: Design) -> dict[str, tuple[float, str]]:
    """The largest current of every conductor over the states, DC and AC taken together, and its state."""
    worst: dict[str, tuple[float, str]] = {}
    for state, point in design.states.items():
        dc, ac = point.path_current("DC"), point.path_current("AC")
        for conductor in design.circuit.conductors:
            amps = hypot(abs(dc.get(conductor.id, 0.0)), abs(ac.get(conductor.id, 0.0)))
            if amps > worst.get(conductor.id, (-1.0, ""))[0]:
                worst[conductor.id] = (amps, state)
    worst.update(_motor_currents(design))
    return worst


def _motor_currents(design: Design) -> dict[str, tuple[float, str]]:
    """Motor conductors carry the phase current that their drive is set to, whatever the bus takes.

    Of several for one phase each carries its share; all of the current where the shares are not known.
    """
    found: dict[str, tuple[float, str]] = {}
    for conductor in design.circuit.conductors:
        guard = design.guards.get(conductor.id)
        if guard is not None and guard.family == "drive":
            mates = design.parallel.get(conductor.id)
            share = mates.shares.get(conductor.id, 1.0) if mates else 1.0
            found[conductor.id] = (guard.rating_a * share, "as the drive is set")
    return found


def _base_laying(design: Design, conductor: Conductor) -> Laying:
    route = design.plan.routes.get(conductor.route or "")
    kind = route.kind if route else "open"
    location = "machine" if is_outside(design, conductor) else "enclosure"
    cores = _loaded_cores(design, conductor) if conductor.cable else 0
    return Laying(kind, ambient_c(design, conductor), location, cores, 1, min(max(cores, 2), 3))


def _carries_load(design: Design, conductor: Conductor) -> bool:
    return conductor.kind != "shield" and design.roles.of_conductor(conductor) in _CARRYING


def _loaded_cores(design: Design, conductor: Conductor) -> int:
    mates = [core for core in design.circuit.cables.get(conductor.cable or "", ()) if _carries_load(design, core)]
    return max(len(mates), 1)


def _heating(design: Design, currents: Mapping[str, tuple[float, str]]) -> dict[str, list[Conductor]]:
    """For every route the conductors in it that are loaded enough to heat the others."""
    routed: dict[str, list[Conductor]] = {}
    for conductor in design.circuit.conductors:
        if conductor.route is not None and conductor.size is not None and _carries_load(design, conductor):
            routed.setdefault(conductor.route, []).append(conductor)
    return {
        route: [one for one in mates if _heats(design, one, currents.get(one.id, (0.0, ""))[0], len(mates))]
        for route, mates in routed.items()
    }


def _heats(design: Design, conductor: Conductor, amps: float, together: int) -> bool:
    """Whether a conductor counts among the loaded ones, held against its ampacity with all of its route counted."""
    assert conductor.size is not None
    power = design.plan.rulebook == "na" and use_of(design, conductor) == "power"
    if power:
        return amps > 0.0
    laying = replace(_base_laying(design, conductor), loaded_circuits=ceil(together / 2), loaded_conductors=together)
    grouped = design.book.ampacity(conductor.size, insulation_c(design, conductor), laying)
    return isinstance(grouped, Limit) and amps > LIGHTLY_LOADED[design.plan.rulebook] * grouped.value


def _circuit(design: Design, conductor: Conductor) -> str:
    """What makes conductors one circuit: their cable, or the device that guards them all."""
    guard = design.guards.get(conductor.id)
    return conductor.cable or ((guard.feeder or guard.part) if guard else conductor.number)


def _together(
    design: Design, conductor: Conductor, cores: int, heating: Mapping[str, list[Conductor]]
) -> tuple[int, int]:
    """Loaded circuits and current-carrying conductors in the same route, this one's own included.

    Conductors behind one device are one circuit, whatever lies between them; pieces of a chain count as one conductor.
    """
    mates = heating.get(conductor.route or "", [])
    others = [mate for mate in mates if mate.cable is None or mate.cable != conductor.cable]
    circuits = {_circuit(design, mate) for mate in others} | {_circuit(design, conductor)}
    numbers = {mate.number for mate in others if mate.number != conductor.number}
    return len(circuits), len(numbers) + max(cores, 1)


def _laying(design: Design, conductor: Conductor, heating: Mapping[str, list[Conductor]]) -> Laying:
    base = _base_laying(design, conductor)
    circuits, count = _together(design, conductor, base.cores, heating)
    if design.plan.rulebook == "na" and base.kind == "duct" and not base.cores and count <= WIREWAY_FREE:
        count = 1
    return replace(base, loaded_circuits=circuits, loaded_conductors=max(count, base.loaded_conductors))


def conductor_figures(design: Design) -> Mapping[str, ConductorFigure]:
    """The figures of every conductor that is meant to carry load current."""
    currents = _currents(design)
    heating = _heating(design, currents)
    found = {}
    for conductor in design.circuit.conductors:
        if _carries_load(design, conductor):
            found[conductor.id] = _figure(design, conductor, currents, heating)
    return found


def _figure(
    design: Design,
    conductor: Conductor,
    currents: Mapping[str, tuple[float, str]],
    heating: Mapping[str, list[Conductor]],
) -> ConductorFigure:
    amps, state = currents.get(conductor.id, (0.0, ""))
    rated_c = insulation_c(design, conductor)
    laying = _laying(design, conductor, heating)
    limit: Limit | NotTabled = NotTabled(f"the size of {conductor.id}")
    if conductor.size is not None:
        limit = design.book.ampacity(conductor.size, rated_c, laying)
    hot = None
    if isinstance(limit, Limit) and limit.value > 0:
        hot = loaded_temperature_c(amps, limit.value, laying.ambient_c, rated_c)
    ohm = conductor_ohm(design.book, conductor, design.ambient_c)
    return ConductorFigure(amps, state, limit, amps * ohm, hot, rated_c, laying)
