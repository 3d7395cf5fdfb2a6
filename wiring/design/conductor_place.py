"""Where a conductor lies, and what its insulation stands."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.machine import Machine
from wiring.plan.insulation import INSULATION

#: Insulation temperature taken where the plan names none [°C]: the lowest in common use.
ASSUMED_INSULATION_C = {"iec": 70.0, "na": 60.0}


def insulation_c(machine: Machine, conductor: Conductor) -> float:
    """Highest temperature of the conductor's insulation [°C]."""
    known = INSULATION.get(conductor.insulation or "")
    return known.highest_c if known else ASSUMED_INSULATION_C[machine.plan.rulebook]


def is_outside(machine: Machine, conductor: Conductor) -> bool:
    """Whether a conductor lies outside the cabinet: by its route, else by the parts at its ends."""
    route = machine.plan.routes.get(conductor.route or "")
    if route:
        return route.at in ("machine", "outside")
    places = {machine.parts[end[0]].data.at for end in conductor.ends if end[0] in machine.parts}
    return bool(places & {"machine", "outside"})
