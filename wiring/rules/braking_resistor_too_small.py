"""A braking resistor is smaller than the energy that it must turn into heat asks for.

While the chopper is on, the resistor stands at the clamping voltage of its drive and takes V2/R. That must not be more
than the peak power it is made for. Over a cycle it takes what every stop leaves when the capacitors are full, and what
lowered loads feed back; one fifth of its rating may be used for that, for the rest would make it too hot to go on. And
it must take at least what a lowered load feeds back at that moment, or the voltage rises past the clamp.

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
            upstream: {kind: fuse, rating: 16 A, class: gG}}
    states:
      fast: {M1: {speed: 6000 rpm, torque: 1 N·m}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      T1: {kind: inverter, supply: 200..240 V AC, phases: 1, rated: 1.5 kW, output_current: 7 A, braking: true,
           clamp: 390 V, bus_capacitance: 470 µF, bus_limit: 420 V}
      R1: {kind: braking-resistor, resistance: 100 ohm, power: 60 W, peak_power: 2 kW, cycle: 10 s}
      M1: {kind: motor, voltage: 230 V AC, rated_power: 1.1 kW, rated_current: 5 A, rotor_inertia: 8 kg·cm2,
           load_inertia: 4 kg·cm2, metal: false}
    wires:
      - {wire: 1, from: X0:L, to: T1:L, size: 2.5 mm2, length: 1 m}
      - {wire: 2, from: "X0:N", to: "T1:N", size: 2.5 mm2, length: 1 m}
      - {wire: 3, from: X0:PE, to: XPE:1, size: 2.5 mm2, colour: GNYE, length: 1 m}
      - {wire: 4, from: T1:R1, to: R1:R1, size: 2.5 mm2, length: 1 m}
      - {wire: 5, from: T1:R2, to: R1:R2, size: 2.5 mm2, length: 1 m}
      - {wire: 6, from: T1:U, to: M1:U, size: 2.5 mm2, length: 1 m}
      - {wire: 7, from: T1:V, to: M1:V, size: 2.5 mm2, length: 1 m}
      - {wire: 8, from: T1:W, to: M1:W, size: 2.5 mm2, length: 1 m}
      - {wire: 9, from: XPE:2, to: T1:PE, size: 2.5 mm2, colour: GNYE, length: 1 m}
      - {wire: 10, from: XPE:3, to: R1:PE, size: 2.5 mm2, colour: GNYE, length: 1 m}
Quiet
    mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
            upstream: {kind: fuse, rating: 16 A, class: gG}}
    states:
      fast: {M1: {speed: 6000 rpm, torque: 1 N·m}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      T1: {kind: inverter, supply: 200..240 V AC, phases: 1, rated: 1.5 kW, output_current: 7 A, braking: true,
           clamp: 390 V, bus_capacitance: 470 µF, bus_limit: 420 V}
      R1: {kind: braking-resistor, resistance: 100 ohm, power: 200 W, peak_power: 2 kW, cycle: 10 s}
      M1: {kind: motor, voltage: 230 V AC, rated_power: 1.1 kW, rated_current: 5 A, rotor_inertia: 8 kg·cm2,
           load_inertia: 4 kg·cm2, metal: false}
    wires:
      - {wire: 1, from: X0:L, to: T1:L, size: 2.5 mm2, length: 1 m}
      - {wire: 2, from: "X0:N", to: "T1:N", size: 2.5 mm2, length: 1 m}
      - {wire: 3, from: X0:PE, to: XPE:1, size: 2.5 mm2, colour: GNYE, length: 1 m}
      - {wire: 4, from: T1:R1, to: R1:R1, size: 2.5 mm2, length: 1 m}
      - {wire: 5, from: T1:R2, to: R1:R2, size: 2.5 mm2, length: 1 m}
      - {wire: 6, from: T1:U, to: M1:U, size: 2.5 mm2, length: 1 m}
      - {wire: 7, from: T1:V, to: M1:V, size: 2.5 mm2, length: 1 m}
      - {wire: 8, from: T1:W, to: M1:W, size: 2.5 mm2, length: 1 m}
      - {wire: 9, from: XPE:2, to: T1:PE, size: 2.5 mm2, colour: GNYE, length: 1 m}
      - {wire: 10, from: XPE:3, to: R1:PE, size: 2.5 mm2, colour: GNYE, length: 1 m}
Not judged
    Drives without `clamp`, motors without inertia, resistors without `cycle` or without `peak_power`, each where the
    answer hangs on it.
Known limits
    The lowest resistance that a chopper can drive is not known to a plan; see the manual of the drive. Losses of the
    motor are left out, which errs on the safe side. A chopper with a resistor inside its drive is the maker's affair.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from wiring.design.braking import BrakingDuty
from wiring.findings import Cause, Number, Signal
from wiring.parts.motors import BrakingResistor
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rules.fault_words import listed
from wiring.rules.rule import Judgement, Rule

if TYPE_CHECKING:
    from wiring.design.design import Design

RULE = Rule(
    slug="braking-resistor-too-small",
    title="Braking resistor is too small for its stops",
    signal=Signal.CAUTION,
    harm="The resistor glows and fails, and the drive trips in the middle of a stop.",
    sources=(("both", Source("manuals of drives", "", "size of a braking resistor", Standing.ONE_SOURCE)),),
)
_MARKED = Source("marking of the part", "", "", Standing.CONFIRMED)


def check(design: Design) -> Iterator[Judgement]:
    """Every braking resistor that is wired to a drive."""
    for duty in design.transients.braking_duties:
        data = design.parts[duty.resistor].data
        assert isinstance(data, BrakingResistor)
        if duty.needed_w is not None and duty.needed_w > data.power * (1.0 + 1e-9):
            yield _too_hot(design, duty, data, duty.needed_w)
        if duty.pulse_w is not None:
            if data.peak_power is not None and duty.pulse_w > data.peak_power * (1.0 + 1e-9):
                yield _pulse(design, duty, data, duty.pulse_w)
            if duty.pulse_w < duty.descent_w:
                yield _too_many_ohms(design, duty, duty.pulse_w)
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


def _too_hot(design: Design, duty: BrakingDuty, data: BrakingResistor, needed_w: float) -> Judgement:
    source = RULE.source(design.plan.rulebook)
    assert source is not None
    often = f" every {data.cycle:.3g} s" if data.cycle is not None else ""
    return RULE.finding(
        (duty.resistor, duty.drive),
        f"Stopping {listed(duty.motors)}{often} asks for a braking resistor of {needed_w:.3g} W, and {duty.resistor} "
        f"is rated {data.power:.3g} W",
        design.place(duty.resistor, "power"),
        because=[Cause(design.place(duty.drive, "clamp"), "sends it what its bus cannot keep")],
        numbers=_numbers(duty),
        limit=Limit(data.power, "W", source, "one fifth of the rating is used over a cycle"),
        mend=(
            f"Take a braking resistor of {needed_w:.3g} W or more for {duty.resistor}.",
            "Or leave more time between two stops, or slow the axes down.",
        ),
    )


def _pulse(design: Design, duty: BrakingDuty, data: BrakingResistor, pulse_w: float) -> Judgement:
    assert data.peak_power is not None
    assert duty.clamp_v is not None
    least = duty.clamp_v**2 / data.peak_power
    return RULE.finding(
        (duty.resistor, duty.drive),
        f"{duty.resistor} takes {pulse_w:.4g} W at the {duty.clamp_v:.3g} V of {duty.drive}, and bears "
        f"{data.peak_power:.4g} W for the length of a stop",
        design.place(duty.resistor, "peak_power"),
        numbers=_numbers(duty),
        limit=Limit(data.peak_power, "W", _MARKED, "peak power"),
        mend=(
            f"Take a resistor of {least:.3g} ohm or more that still brakes fast enough.",
            f"Or take one that bears {pulse_w:.4g} W for the length of a stop.",
        ),
    )


def _too_many_ohms(design: Design, duty: BrakingDuty, pulse_w: float) -> Judgement:
    assert duty.clamp_v is not None
    most = duty.clamp_v**2 / duty.descent_w
    return RULE.finding(
        (duty.resistor, duty.drive),
        f"{duty.resistor} takes {pulse_w:.3g} W at most, and lowering {listed(duty.motors)} feeds back "
        f"{duty.descent_w:.3g} W",
        design.place(duty.resistor, "resistance"),
        numbers=_numbers(duty),
        limit=Limit(pulse_w, "W", _MARKED, "clamping voltage squared over its resistance"),
        mend=(f"Take a resistor of {most:.3g} ohm or less that {duty.drive} can drive.",),
    )
