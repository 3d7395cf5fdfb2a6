"""The voltage of every rail, between conductors and to earth."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.circuit.roles import Rail, Role
from wiring.design.nets import Nets
from wiring.plan.site import Mains
from wiring.solver.lowering import line_to_neutral_v


class Level(Struct, frozen=True):
    """A voltage with its kind and the source that gives it; `volts` between conductors, `earth_v` to earth."""

    volts: float
    earth_v: float
    kind: str
    source: str


def rail_levels(nets: Nets, mains: Mains | None) -> Mapping[Rail, Level]:
    """The voltage of every rail, the mains by the plan's own figure."""
    found = {}
    for pole in nets.poles:
        if pole.sign[0] in "LN":
            line = line_to_neutral_v(mains) if mains else 0.0
            highest = mains.voltage.volts if mains else 0.0
            role = Role.NEUTRAL if pole.sign == "N" else Role.LIVE
            to_earth = highest if mains and mains.earthing == "IT" else line
            found[Rail(role, pole.sign)] = Level(highest if role is Role.LIVE else line, to_earth, "AC", pole.source)
        else:
            role = {"+": Role.PLUS, "-": Role.ZERO}.get(pole.sign, Role.AC)
            found[Rail(role, pole.source)] = Level(pole.volts, pole.volts, pole.kind, pole.source)
    return found
