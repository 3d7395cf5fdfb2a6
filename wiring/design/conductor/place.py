"""Where a conductor lies, and what its insulation stands."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.machine import Machine
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.insulation import ASSUMED, highest_temperature


def insulation_limit(machine: Machine, conductor: Conductor) -> Limit:
    """Highest temperature of the conductor's insulation [°C], the assumed one where the plan names none."""
    return highest_temperature(conductor.insulation or ASSUMED[machine.plan.rulebook])


def insulation_c(machine: Machine, conductor: Conductor) -> float:
    """The same as a number [°C]."""
    return insulation_limit(machine, conductor).value


def is_outside(machine: Machine, conductor: Conductor) -> bool:
    """Whether a conductor lies outside the cabinet: by its route, else by the parts at its ends."""
    route = machine.plan.routes.get(conductor.route or "")
    if route:
        return route.at in ("machine", "outside")
    places = {machine.parts[end[0]].data.at for end in conductor.ends if end[0] in machine.parts}
    return bool(places & {"machine", "outside"})
