"""A stop takes the torque of an axis away and leaves its brake released.

The coil of a holding brake must lose its power with the torque. Every stop device is worked on the running machine,
with all program outputs stuck on, and the voltage at the coil is solved.

Fires on hot-wire at Y1
    parts.M1={kind: motor, voltage: 230 V AC, phases: 1, rated_power: 200 W, vertical: true, metal: false}
    parts.Y1={kind: brake, rated: 24 V DC 10 W, holds: M1, suppressor: zener}
    wires+={wire: L6, from: K2:2, to: M1:U1, type: line}
    wires+={wire: N3, from: G4:N, to: M1:U2, type: neutral}
    wires+={wire: 14, from: K0:A1, to: Y1:A1, type: control}
    wires+={wire: 15, from: K0:A2, to: Y1:A2, type: control}
Quiet
    14.from=K1:A1
Not judged
    A plan without stops, or a brake that does not say which motor it holds (`holds`).
"""

from __future__ import annotations

from wiring.design.motor.brakes import coil_of, coil_volts, falls
from wiring.design.stop.behind_stop import fed_behind_stop
from wiring.design.stop.hazards import brake_probes
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.motors import Brake
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does

RULE = Rule(
    slug="brake-stays-released",
    title="Stop leaves the brake released",
    signal=Signal.WARNING,
    harm="After the stop nothing holds the axis: it falls or is pushed on a hand that reaches in.",
    sources=(("iec", iec_60204("9.2.3.4.2")), ("na", nfpa_79("9.2.5.4.1"))),
)


def check(design: Design) -> Judgements:
    """Every brake against every stop device."""
    brakes = [part for part in design.parts.values() if isinstance(part.data, Brake)]
    nameless = sorted(part.name for part in brakes if isinstance(part.data, Brake) and not part.data.holds)
    if nameless:
        yield RULE.not_judged(nameless, "which motor each holds (`holds: M1`)", design.place(nameless[0]))
    if not any(isinstance(part.data, Brake) and part.data.holds for part in brakes):
        return
    if not design.plan.stops:
        yield RULE.not_judged([part.name for part in brakes], "a stop (`stops:`)")
        return
    for brake in brakes:
        yield from _judge(design, brake)


def _judge(design: Design, brake: Part) -> Judgements:
    assert isinstance(brake.data, Brake)
    motor = design.parts.get(brake.data.holds)
    left = [
        (effect, volts)
        for effect in design.stops
        if brake.data.holds in effect.removed
        and (volts := coil_volts(effect.point, brake)) >= coil_of(brake).drop_out_v
    ]
    if left and motor is not None:
        devices = does((effect.device for effect, _ in left), "takes", "take")
        yield RULE.finding(
            (brake.name, motor.name),
            f"{devices} the torque of {motor.name} away, and {brake.name}, its brake, keeps {left[0][1]:.3g} V",
            design.place(brake.name),
            signal=Signal.WARNING if falls(motor) else Signal.CAUTION,
            numbers=(Number("at the coil after the stop", left[0][1], "V", brake.name),),
            mend=(
                Mend(
                    f"Feed {brake.name} behind the contacts that the stop opens.",
                    fed_behind_stop(design, left[0][0], brake_probes(brake)),
                ),
            ),
        )
