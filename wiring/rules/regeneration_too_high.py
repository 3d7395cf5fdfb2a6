"""Braking axes lift the voltage of their bus above what a part on it bears.

A motor that is braked is a generator. When all axes that move together stop at once, their energy goes into the
capacitors of the bus: V2 = sqrt(V1² + 2E/C). A switching supply takes nothing back. What counts is the weakest part on
the rail: the bus limit of a drive, or the upper end of its supply window where no limit is given, the input of a
converter, the rating of a capacitor, the voltage at which the supply shuts down. A braking chopper holds the bus at its
clamping voltage. A load that is lowered feeds back too, torque of its weight times speed, for as long as it is lowered:
what the drives on the bus take at rest uses that up, and without a chopper nothing takes the rest. A motor on an
inverter without a chopper whose `run_down` is given, and which no stop brakes, is taken to run down by itself.

Fires on screw-axis at D1
    M2.load_inertia=60 kg·cm2
    states.run.M2.speed=1500 rpm
Quiet
    C1.capacitance=100 mF
Not judged
    Axes whose inertia or speed is not given, vertical ones without `gravity_torque`; drives on the mains without
    `bus_capacitance` or `bus_limit`.
Known limits
    Friction and winding loss of braking motors are left out, which errs on the safe side. Without `over_voltage` the
    supply is taken to bear what the others bear. A braking resistor is judged by `braking-resistor-too-small`.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from wiring.design.motor.regeneration import Bus
from wiring.findings import Cause, Number
from wiring.parts.bus import capacitance_for_rise
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import rounded_up
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="regeneration-too-high",
    title="Braking lifts the bus above what it bears",
    signal=Signal.CAUTION,
    harm="Drives trip or die in a fast stop, and everything else on the rail with them.",
    sources=(("both", Source("data of the part", "", "highest voltage", Standing.ONE_SOURCE)),),
)
#: A clamp is set so many times above the voltage of its bus.
_CLAMP_MULTIPLE = tabled("common", "clamp_above_bus").value


def check(design: Design) -> Judgements:
    """Every bus in the state that feeds most back."""
    for bus in design.buses:
        if bus.surplus_w > 0.0 and bus.clamp_v == inf:
            yield _descent(design, bus)
            continue
        fed_back = min(bus.reached_v, bus.clamp_v) if bus.clamp_v > bus.volts else bus.reached_v
        if bus.limit_part and bus.capacitance_f > 0.0 and fed_back > bus.limit_v:
            yield _finding(design, bus)
        elif bus.missing and bus.clamp_v == inf:
            words = ", ".join(f"{part} {key}" for part, key in bus.missing)
            yield RULE.not_judged(
                tuple(dict.fromkeys((*(part for part, _ in bus.missing), *bus.drives))),
                f"of the axes on {bus.source}: {words}",
            )


def _descent(design: Design, bus: Bus) -> Judgement:
    falling = _falling(design, bus)
    what = f"Lowering the load of {listed(falling)}" if falling else f"The load that drives {listed(bus.motors)}"
    return RULE.finding(
        bus.drives,
        f"{what} feeds {bus.descent_w:.3g} W into the bus of {bus.source} for as long "
        f"as it lasts, and nothing there takes more than {bus.idle_w:.3g} W",
        design.place(falling[0], "gravity_torque") if falling else design.place(bus.motors[0]),
        numbers=(
            Number("fed back", bus.descent_w, "W", "torque of the load times speed"),
            Number("taken", bus.idle_w, "W", "by the drives on the bus at rest"),
        ),
        mend=(
            f"Put a braking chopper with its resistor on the bus, for {bus.surplus_w:.3g} W without end.",
            "Or balance the load with a counterweight, or lower it more slowly.",
        ),
    )


def _falling(design: Design, bus: Bus) -> tuple[str, ...]:
    return tuple(name for name in bus.motors if getattr(design.parts[name].data, "gravity_torque", None))


def _finding(design: Design, bus: Bus) -> Judgement:
    what = "the upper end of its supply window" if bus.limit_key == "supply" else f"its `{bus.limit_key}`"
    bears = "shuts down at" if bus.limit_key == "over_voltage" else "bears"
    return RULE.finding(
        (*bus.drives, *((bus.limit_part,) if bus.limit_part not in bus.drives else ())),
        f"{listed(bus.motors)} stopping in state {bus.state} lift{'' if len(bus.motors) > 1 else 's'} the bus of "
        f"{bus.source} to {bus.reached_v:.3g} V, and {bus.limit_part} {bears} {bus.limit_v:.3g} V",
        design.place(bus.drives[0]),
        because=[Cause(design.place(bus.limit_part, bus.limit_key), what)],
        numbers=(
            Number("bus", bus.volts, "V", "before braking"),
            Number("energy", bus.energy_j, "J", f"of {listed(bus.motors)}, losses left out"),
            Number("capacitance", bus.capacitance_f, "F", "supply, capacitors and drives"),
        ),
        limit=RULE.limit(design, bus.limit_v, "V", what),
        mend=_mends(bus),
        rests=(scope("window", *bus.drives),) if bus.volts > bus.limit_v else (),
    )


def _mends(bus: Bus) -> Iterator[str]:
    if bus.source in bus.drives:
        yield f"Put a braking resistor on {bus.source}, if it has a chopper, and write at which voltage that sets in."
        yield "Or let the motor run down by itself, and write for how long (`run_down`); or brake it more slowly."
        return
    if bus.limit_v > bus.volts:
        needed = capacitance_for_rise(bus.volts, bus.limit_v, bus.energy_j) - bus.capacitance_f
        yield f"Put {rounded_up(1e6 * needed, 2):.0f} µF or more on the bus beside the drives."
    yield f"Put a braking chopper with its resistor on the bus, set to {_clamp(bus):.3g} V."
    yield "Or slow the axes down, or stop them one after the other."


def _clamp(bus: Bus) -> float:
    return min(_CLAMP_MULTIPLE * bus.volts, 0.95 * bus.limit_v)
