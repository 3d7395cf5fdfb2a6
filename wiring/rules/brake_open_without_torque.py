"""A brake is open while the motor whose load it holds gives no torque.

A brake holds a load that falls whenever its motor does not. In every state all hands are taken off and no program
commands: a motor across the line must then have its power or its brake must be dead, and the brake of a motor on an
inverter, or on a servo drive whose enable is wired, must be dead: neither gives torque before it is told to. A state
that says that the motor is off says that nothing but the brake holds the load.

Fires on hot-wire at Y1
    parts.M1={kind: motor, voltage: 230 V AC, phases: 1, rated_power: 200 W, vertical: true, metal: false}
    parts.Y1={kind: brake, rated: 24 V DC 10 W, holds: M1, suppressor: zener}
    parts.K3={kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: zener}
    parts.S7={kind: push-button, contacts: {13-14: NO}, rated: 3 A}
    states.lifting={M1: run, S7: worked}
    wires+={wire: L6, from: K2:2, to: K3:1, type: line}
    wires+={wire: L7, from: K3:2, to: M1:U1, type: line}
    wires+={wire: N3, from: G4:N, to: M1:U2, type: neutral}
    wires+={wire: 14, from: K1:A1, to: S7:13, type: control}
    wires+={wire: 15, from: S7:14, to: K3:A1, type: control}
    wires+={wire: 16, through: [K0:A2, K3:A2, Y1:A2], type: control}
    wires+={wire: 17, from: K1:A1, to: Y1:A1, type: control}
Quiet
    17.from=K3:A1
Not judged
    A motor that its drive keeps in torque while it is fed, as stepper drives do.
Known limits
    How far the load falls. A brake that a program opens at the wrong moment.
"""

from __future__ import annotations

from wiring.design.edits import taken_away
from wiring.design.motor.brakes import coil_of
from wiring.design.motor.open_brakes import OpenBrake, open_brakes, unknown_releases
from wiring.findings import Cause, Mend, Number
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="brake-open-without-torque",
    title="Brake is open while nothing carries the load",
    signal=Signal.WARNING,
    harm="The load falls as soon as the hand is off the button, on whoever stands below.",
    sources=(("iec", iec_60204("4.1, 9.3.3")), ("na", nfpa_79("4.1"))),
)


def check(design: Design) -> Judgements:
    """Every brake of a load that falls."""
    for one in open_brakes(design.machine, design.operation):
        yield _finding(design, one)
    for brake, drive, output in unknown_releases(design.machine):
        yield RULE.not_judged(
            (brake, drive),
            f"whether {drive}:{output}, which lifts {brake}, conducts while {drive} gives no torque, as one that tells "
            f"of readiness or alarm does (`functions: {{{output}: brake}}` where it is made for the brake)",
            design.place(drive),
        )


def _finding(design: Design, one: OpenBrake) -> Judgement:
    return _told_off(design, one) if one.said_off else _left_alone(design, one)


def _told_off(design: Design, one: OpenBrake) -> Judgement:
    coil = coil_of(design.parts[one.brake])
    return RULE.finding(
        (one.brake, one.motor, one.state),
        f"{one.brake} gets {one.volts:.3g} V and is open in state {one.state}, in which {one.motor} is off: its load "
        "falls",
        design.place(one.brake),
        because=(Cause(design.place(one.motor), "falls"),),
        numbers=(Number("at the coil", one.volts, "V", one.brake),),
        limit=Limit(coil.pick_up_v, "V", _DATA, "from it on the brake lifts"),
        mend=(
            f"Let {one.brake} close in state {one.state}: `{one.brake}: off` where a program lifts it, or a contact "
            f"that opens there. If its drive holds the load in that state, say so: `{one.motor}: hold`.",
        ),
    )


def _left_alone(design: Design, one: OpenBrake) -> Judgement:
    coil = coil_of(design.parts[one.brake])
    names = ", ".join(wire.id for wire in one.wrong)
    by = f", by {names}" if names else ""
    when = "is not told to run" if one.waits else "is off"
    mends: list[str | Mend] = [
        Mend(f"Take {wire.id} off: {one.brake} still opens with {one.motor}.", taken_away(design, [wire]))
        for wire in one.wrong
    ]
    what = "a contact that its drive closes when it gives torque" if one.waits else f"what feeds {one.motor}"
    return RULE.finding(
        (one.brake, one.motor, *(wire.id for wire in one.wrong)),
        f"{one.brake} gets {one.volts:.3g} V and is open while {one.motor} {when}{by}: its load falls, after state "
        f"{one.state} with all hands off",
        design.place(one.brake),
        because=[Cause(wire.place, "keeps it open") for wire in one.wrong] or [Cause(design.place(one.motor), "falls")],
        numbers=(Number("at the coil", one.volts, "V", one.brake),),
        limit=Limit(coil.drop_out_v, "V", _DATA, "below it the brake falls in"),
        mend=[*mends, f"Feed {one.brake} through {what} alone."],
    )


_DATA = Source("data of the part", "", "drop-out of a coil, typical", Standing.FROM_MEMORY)
