"""What was measured at the machine that stands there, in place of what would be assumed of it."""

from __future__ import annotations

from wiring.plan.model import field
from wiring.plan.site import PlanModel
from wiring.plan.types import AirCelsius, Amperes, Ohms, Watts
from wiring.plan.words import Name


class MeasuredInside(PlanModel):
    """The air in the closed cabinet, once it got no warmer."""

    temperature: AirCelsius = field(description="measured in the middle of the cabinet, its door closed")
    ambient: AirCelsius = field(description="of the air around the cabinet at that moment")
    heat: Watts = field(description="heat of the state that ran, as `wiring budget --state` computes it")


class Measured(PlanModel):
    """Values that were measured; each takes the place of one that is assumed or computed without it."""

    loop: Ohms | None = field(
        None, description="loop of line and protective conductor at the inlet, its conductors cold"
    )
    inside: MeasuredInside | None = field(None, description="air temperature in the cabinet")
    motors: dict[Name, dict[Name, Amperes]] = field(
        default_factory=dict, description="by motor and state the current of a line while it works"
    )
