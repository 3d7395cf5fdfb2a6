"""A motor runs against its brake, which nothing lifts.

In every state in which a motor runs, the coil of the brake that holds it must be fed. One that is fed with the
contactor of one direction alone stays closed in the other. Where no state has a direction, the button that makes it is
pressed. A stop of category 1 leaves the motor its torque until it stands, and the brake waits as long.

Fires on hot-wire at Y1
    parts.M1={kind: motor, voltage: 230 V AC, phases: 1, rated_power: 200 W, metal: false}
    parts.Y1={kind: brake, rated: 24 V DC 10 W, holds: M1, suppressor: zener}
    states.heating.M1=run
    wires+={wire: L6, from: K2:2, to: M1:U1, type: line}
    wires+={wire: N3, from: G4:N, to: M1:U2, type: neutral}
    wires+={wire: 14, from: K0:A2, to: Y1:A2, type: control}
Quiet
    wires+={wire: 15, from: K1:A1, to: Y1:A1, type: control}
Not judged
    A brake that does not say which motor it holds (`holds`).
Known limits
    A brake that gets less than it needs is told by `load-undervoltage`. Whether a program lifts it in time.
"""

from __future__ import annotations

from wiring.design.motor.brakes import coil_of
from wiring.design.motor.closed_brakes import ClosedBrake, closed_brakes
from wiring.design.stop.category_one import early_brakes
from wiring.findings import Cause, Number
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.wording import listed, seconds

RULE = Rule(
    slug="brake-closed-while-driven",
    title="Motor runs against its closed brake",
    signal=Signal.CAUTION,
    harm="Motor and lining burn, and the worn brake drops its load later.",
    sources=(("iec", iec_60204("4.1, 14.6")), ("na", nfpa_79("4.1"))),
)
_DATA = Source("data of the part", "", "pick-up of a coil, typical", Standing.FROM_MEMORY)


def check(design: Design) -> Judgements:
    """Every brake in the states in which its motor runs."""
    for one in closed_brakes(design.machine, design.operation):
        yield _finding(design, one)
    for early in early_brakes(design.stopping, design.operation.reachability):
        yield RULE.finding(
            (early.brake, early.motor, *early.by, early.stop),
            f"{early.brake} falls at once with stop {early.stop}, and {early.motor} keeps its torque for "
            f"{seconds(early.delay_s)}: it is braked at full speed against its drive",
            design.place(early.brake),
            because=(Cause(design.place(early.motor), "keeps its torque"),),
            mend=(f"Feed {early.brake} from the contact that opens after the delay.",),
        )


def _finding(design: Design, one: ClosedBrake) -> Judgement:
    states = f"in state {listed(one.states)}" if one.states else f"while {listed(one.buttons)} alone is pressed"
    gets = "nothing" if one.volts < 0.05 else f"{one.volts:.3g} V"
    return RULE.finding(
        (one.brake, one.motor, *one.states, *one.buttons),
        f"{one.motor} runs {states}, and {one.brake}, its brake, gets {gets} and is not lifted",
        design.place(one.brake),
        because=(Cause(design.place(one.motor), "runs against it"),),
        numbers=(Number("at the coil", one.volts, "V", one.brake),),
        limit=Limit(coil_of(design.parts[one.brake]).pick_up_v, "V", _DATA, "from it on the brake lifts"),
        mend=(
            f"Feed {one.brake} {states} too: over a contact of everything that makes {one.motor} run, in parallel, or "
            "over one that its drive closes when it gives torque.",
        ),
    )
