"""What every conductor carries in every state, for lists and for the page."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from msgspec import Struct

from wiring.circuit.model import Conductor
from wiring.design.conductor.conductors import ConductorFigure
from wiring.design.conductor.wire_resistance import conductor_ohm
from wiring.design.design import Design
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.conductors import loaded_temperature_c

#: The state of a figure that a drive's setting gives, whatever the state of the machine.
_BY_SETTING = "as the drive is set"


class StateFigure(Struct, frozen=True):
    """One conductor in one state: current [A], drop along it [V], temperature [°C], None where not known."""

    state: str
    current_a: float
    drop_v: float
    temperature_c: float | None


def conductor_states(design: Design) -> Mapping[str, tuple[StateFigure, ...]]:
    """The figures of every conductor that carries load current, by state in the order of the plan.

    The current of a motor conductor is what its drive is set to, in one row for all states.
    """
    currents = {state: (point.path_current("DC"), point.path_current("AC")) for state, point in design.states.items()}
    found = {}
    for name, figure in design.conductors.items():
        conductor = design.circuit.conductor[name]
        if figure.state == _BY_SETTING:
            amps = {_BY_SETTING: figure.current_a}
        else:
            amps = {s: hypot(abs(dc.get(name, 0.0)), abs(ac.get(name, 0.0))) for s, (dc, ac) in currents.items()}
        found[name] = tuple(_figure(design, conductor, figure, state, amps[state]) for state in amps)
    return found


def _figure(design: Design, conductor: Conductor, figure: ConductorFigure, state: str, amps: float) -> StateFigure:
    limit = figure.ampacity
    hot = None
    if isinstance(limit, Limit) and limit.value > 0:
        hot = loaded_temperature_c(amps, limit.value, figure.ambient_c, figure.insulation_c)
    ohm = conductor_ohm(design.book, conductor, design.ambient_c)
    return StateFigure(state, amps, amps * ohm, hot)
