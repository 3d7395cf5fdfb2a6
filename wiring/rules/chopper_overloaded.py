"""A braking resistor draws more than the chopper of its inverter bears.

The chopper puts the clamping voltage on the resistor, and its transistor carries what flows. The maker prints the least
resistance that it bears (`least_resistance`). Beyond twice the peak of its rated output no chopper of an inverter goes:
its transistor is no larger than those of the output.

Fires on mixer at R1
    T1.least_resistance=250 ohm
Quiet
    T1.least_resistance=150 ohm
Not judged
    A resistor behind an inverter that does not say the least that it bears, between that bound and any resistance.
Known limits
    A chopper on a bus comes with its own resistor.
"""

from __future__ import annotations

from wiring.design.motor.braking import BrakingDuty
from wiring.findings import Number
from wiring.parts.drives import Inverter
from wiring.parts.motors import BrakingResistor
from wiring.rulebooks.citation import MARKED, Limit
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, trade_practice

RULE = Rule(
    slug="chopper-overloaded",
    title="Braking resistor is too low for its inverter",
    signal=Signal.CAUTION,
    harm="The chopper fails short at the first stop, and the resistor glows for as long as there is power.",
    sources=(("both", Source("manuals of drives", "", "least braking resistance", Standing.ONE_SOURCE)),),
)
#: The most current of a chopper as a multiple of the rated output: twice its peak (common practice, no source).
_CHOPPER_SHARE = 2.0 * 2.0**0.5


def check(design: Design) -> Judgements:
    """Every braking resistor that is wired to an inverter."""
    for duty in design.transients.braking_duties:
        drive, resistor = design.parts[duty.drive].data, design.parts[duty.resistor].data
        if not isinstance(drive, Inverter) or not isinstance(resistor, BrakingResistor):
            continue
        if drive.least_resistance is None:
            missing = "the least braking resistance that its chopper bears (`least_resistance: 60 ohm`)"
            yield RULE.not_judged((duty.drive,), missing, design.place(duty.drive))
        limit = _least(duty, drive)
        if limit is not None and resistor.resistance < limit.value * (1 - 1e-9):
            yield RULE.finding(
                (duty.resistor, duty.drive),
                f"{duty.resistor} is {resistor.resistance:.3g} ohm; {duty.drive} asks for {limit.value:.3g} ohm",
                design.place(duty.resistor, "resistance"),
                numbers=(Number("resistance", resistor.resistance, "ohm", duty.resistor),),
                limit=limit,
                mend=(f"Take a resistor of {limit.value:.3g} ohm or more that still brakes fast enough.",),
            )


def _least(duty: BrakingDuty, drive: Inverter) -> Limit | None:
    if drive.least_resistance is not None:
        return Limit(drive.least_resistance, "ohm", MARKED, "least of its chopper")
    if duty.clamp_v is None or drive.output_current is None:
        return None
    least = duty.clamp_v / (_CHOPPER_SHARE * drive.output_current)
    return Limit(least, "ohm", trade_practice("chopper of an inverter"), "twice the peak of its rated output")
