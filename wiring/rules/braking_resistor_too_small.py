"""A braking resistor is smaller than the energy that it must turn into heat asks for.

While the chopper is on, the resistor stands at the clamping voltage of its drive and takes V2/R. That must not be more
than the peak power it is made for. Over a cycle it takes what every stop leaves when the capacitors are full; one fifth
of its rating may be used for that, for the rest would make it too hot to go on. What lowered loads feed back is lasting
power, and all of the rating may be used for it, the mean of the stops included: without a pause, or for the share of
the time that the `duty` of a state says. And it must take at least what a lowered load feeds back at that moment, and
what an even ramp does at its start that ends within the `delay` of a stop of category 1, or the voltage rises past the
clamp, the drive trips, and what it should have braked coasts.

Fires on mixer at R1
    R1.power=1 W
Quiet
    R1.power=200 W
Not judged
    Drives without `clamp`, motors without inertia, resistors without `cycle` or without `peak_power`, stops of category
    1 without `delay`, each where the answer hangs on it.
Known limits
    What its chopper can drive is told by `chopper-overloaded`. Losses of the motor are left out, which errs on the safe
    side. A chopper with a resistor inside its drive is the maker's affair.
"""

from __future__ import annotations

from wiring.design.motor.braking import BrakingDuty
from wiring.findings import Cause, Number
from wiring.parts.drives import BusChopper
from wiring.parts.motors import BrakingResistor
from wiring.rulebooks.citation import MARKED, Limit
from wiring.rulebooks.steps import resistor, rounded_up
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="braking-resistor-too-small",
    title="Braking resistor is too small for its stops",
    signal=Signal.CAUTION,
    harm="The resistor glows and fails, and the drive trips in the middle of a stop.",
    sources=(("both", Source("manuals of drives", "", "size of a braking resistor", Standing.ONE_SOURCE)),),
)


def check(design: Design) -> Judgements:
    """Every braking resistor that is wired to a drive, and every chopper on a bus."""
    for duty in design.transients.braking_duties:
        data = design.parts[duty.resistor].data
        assert isinstance(data, BrakingResistor | BusChopper)
        if duty.stops_w is not None and data.power is not None and duty.stops_w > data.power * (1.0 + 1e-9):
            yield _too_hot(design, duty, data, data.power, duty.stops_w)
        if duty.descent_w > 0.0 and data.power is not None and duty.lasting_w > data.power * (1.0 + 1e-9):
            yield _lowered(design, duty, data.power)
        if duty.pulse_w is not None:
            if data.peak_power is not None and duty.pulse_w > data.peak_power * (1.0 + 1e-9):
                yield _pulse(design, duty, data, duty.pulse_w)
            if duty.pulse_w < max(duty.descent_w, duty.ramp_w) * (1.0 - 1e-9):
                yield _too_many_ohms(design, duty, duty.pulse_w)
        for stop in duty.untimed:
            missing = "the time in which it brakes, after which its power goes (`delay: 2 s`)"
            yield RULE.not_judged((duty.resistor, stop), missing, design.reading.place("stops", stop))
        if duty.missing:
            words = ", ".join(f"{part} {key}" for part, key in duty.missing)
            yield RULE.not_judged(tuple(dict.fromkeys((duty.resistor, *(part for part, _ in duty.missing)))), words)


def _numbers(duty: BrakingDuty) -> tuple[Number, ...]:
    found = []
    if duty.energy_j is not None:
        found.append(Number("energy", duty.energy_j, "J", "of one stop, what the capacitors do not keep"))
    if duty.descent_w > 0.0:
        found.append(Number("fed back", duty.descent_w, "W", "by lowered loads"))
    if duty.clamp_v is not None:
        found.append(Number("clamp", duty.clamp_v, "V", duty.drive))
    return tuple(found)


def _too_hot(
    design: Design, duty: BrakingDuty, data: BrakingResistor | BusChopper, power_w: float, needed_w: float
) -> Judgement:
    source = RULE.source(design.plan.rulebook)
    assert source is not None
    often = f" every {data.cycle:.3g} s" if data.cycle is not None else ""
    return RULE.finding(
        dict.fromkeys((duty.resistor, duty.drive)),
        f"Stopping {listed(duty.motors)}{often} asks for a braking resistor of {needed_w:.3g} W, and {duty.resistor} "
        f"is rated {power_w:.3g} W",
        design.place(duty.resistor, "power"),
        because=[Cause(design.place(duty.drive, "clamp"), "sends it what its bus cannot keep")],
        numbers=_numbers(duty),
        limit=Limit(power_w, "W", source, "one fifth of the rating is used over a cycle"),
        mend=(
            f"Take a braking resistor of {rounded_up(needed_w):.3g} W or more for {duty.resistor}.",
            "Or leave more time between two stops, or slow the axes down.",
        ),
    )


def _lowered(design: Design, duty: BrakingDuty, power_w: float) -> Judgement:
    return RULE.finding(
        dict.fromkeys((duty.resistor, duty.drive)),
        f"Lowering {listed(duty.motors)} makes {duty.lasting_w:.3g} W of heat for as long as it lasts, and "
        f"{duty.resistor} bears {power_w:.3g} W for ever",
        design.place(duty.resistor, "power"),
        because=[Cause(design.place(duty.drive, "clamp"), "sends it what its bus cannot keep")],
        numbers=_numbers(duty),
        limit=Limit(power_w, "W", MARKED, "lasting power; lowered without a pause where no `duty` says for how long"),
        mend=(
            f"Take a braking resistor of {rounded_up(duty.lasting_w):.3g} W or more for {duty.resistor}.",
            "Or lower more slowly, or write for what share of the time it is lowered (`duty` in the state).",
        ),
    )


def _pulse(design: Design, duty: BrakingDuty, data: BrakingResistor | BusChopper, pulse_w: float) -> Judgement:
    assert data.peak_power is not None
    assert duty.clamp_v is not None
    least = duty.clamp_v**2 / data.peak_power
    return RULE.finding(
        dict.fromkeys((duty.resistor, duty.drive)),
        f"{duty.resistor} takes {pulse_w:.3g} W at the {duty.clamp_v:.3g} V of {duty.drive}, and bears "
        f"{data.peak_power:.3g} W for the length of a stop",
        design.place(duty.resistor, "peak_power"),
        numbers=_numbers(duty),
        limit=Limit(data.peak_power, "W", MARKED, "peak power"),
        mend=(
            f"Take a resistor of {rounded_up(least):.3g} ohm or more that still brakes fast enough.",
            f"Or take one that bears {pulse_w:.3g} W for the length of a stop.",
        ),
    )


def _too_many_ohms(design: Design, duty: BrakingDuty, pulse_w: float) -> Judgement:
    assert duty.clamp_v is not None
    lowered = duty.descent_w > duty.ramp_w
    asked_w, what = (duty.descent_w, "lowering") if lowered else (duty.ramp_w, "braking")
    when = "" if lowered else f" within the {duty.braked_s:.3g} s of stop {duty.braked_by}"
    longer = duty.braked_s * asked_w / pulse_w
    ways = [f"Take a resistor of {resistor(duty.clamp_v**2 / asked_w):.3g} ohm or less that {duty.drive} can drive."]
    if not lowered:
        ways.append(f"Or brake in {rounded_up(longer):.3g} s or more, and leave the power on for as long (`delay`).")
    return RULE.finding(
        dict.fromkeys((duty.resistor, duty.drive)),
        f"{duty.resistor} takes {pulse_w:.3g} W at most, and {what} {listed(duty.motors)}{when} feeds back "
        f"{asked_w:.3g} W",
        design.place(duty.resistor, "resistance"),
        numbers=_numbers(duty),
        limit=Limit(pulse_w, "W", MARKED, "clamping voltage squared over its resistance"),
        mend=ways,
    )
