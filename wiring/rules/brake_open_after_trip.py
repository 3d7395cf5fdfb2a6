"""The torque of a hanging load goes by a trip, and its brake stays open.

A drive that trips lets go of its motor by itself, with its feed and its safe torque off untouched; a device in the feed
of a motor opens on an overload or a short. The brake must follow: over an output of the drive, by the controller that
reads the fault and works the brake, or behind the device that opens. As it takes a trip, it is milder than a brake that
every stop leaves open.

Fires on hot-wire at Y1
    parts.F7={kind: fuse, rating: 4 A}
    parts.M1={kind: motor, voltage: 230 V AC, phases: 1, rated_power: 200 W, vertical: true, metal: false}
    parts.Y1={kind: brake, rated: 24 V DC 10 W, holds: M1, suppressor: zener}
    states.heating.M1=run
    wires+={wire: L6, from: K2:2, to: F7:1, type: line}
    wires+={wire: L7, from: F7:2, to: M1:U1, type: line}
    wires+={wire: N3, from: G4:N, to: M1:U2, type: neutral}
    wires+={wire: 14, through: [K0:A2, Y1:A2], type: control}
    wires+={wire: 15, from: K1:A1, to: Y1:A1, type: control}
Quiet
    Y1.rated=230 V AC 10 W
    14.through=[M1:U2, Y1:A2]
    15.from=F7:2
Not judged
    A drive of which no output is known (`outputs`, of an inverter `relay`).
Known limits
    What a program does with the fault that it reads. Whether an output tells of a fault is taken from the plan.
"""

from __future__ import annotations

from wiring.design.motor.trips import OpenAfterTrip, open_after_trips
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="brake-open-after-trip",
    title="Brake stays open when the torque trips away",
    signal=Signal.CAUTION,
    harm="An overload in the middle of a lift lets the load fall, on whoever stands below.",
    sources=(("iec", iec_60204("4.1, 9.4.1")), ("na", nfpa_79("4.1, 9.4.1"))),
)


def check(design: Design) -> Judgements:
    """Every brake of a load that falls; the devices of one motor are told together."""
    devices: dict[tuple[str, str], list[str]] = {}
    asked: list[str] = []
    for one in open_after_trips(design.machine, design.operation):
        if one.outputs is None:
            devices.setdefault((one.brake, one.motor), []).append(one.by)
        elif one.outputs:
            yield _of_drive(design, one)
        else:
            asked += [one.by, one.brake]
    yield from RULE.ask(asked, "the output that tells of a fault of the drive (`outputs: [ALM+-ALM-]`)")
    for (brake, motor), names in devices.items():
        yield _of_devices(design, brake, motor, names)


def _of_drive(design: Design, one: OpenAfterTrip) -> Judgement:
    over = one.unused or " or ".join(one.outputs or ())
    return RULE.finding(
        (one.brake, one.motor, one.by),
        f"{one.by} lets go of {one.motor} when it trips, and nothing that works {one.brake}, its brake, follows: "
        f"neither a contact of {one.by} nor what reads its fault",
        design.place(one.by),
        because=(Cause(design.place(one.brake), "stays open"),),
        mend=(
            f"Lead {one.brake} over {over} of {one.by}, by a relay where that bears too little.",
            f"Or let the controller that works {one.brake} read the fault of {one.by}.",
        ),
    )


def _of_devices(design: Design, brake: str, motor: str, names: list[str]) -> Judgement:
    verb = "opens" if len(names) == 1 else "open"
    return RULE.finding(
        (brake, motor, *names),
        f"{motor} loses its power when {listed(names)} {verb}, and {brake}, its brake, stays open",
        design.place(names[0]),
        because=(Cause(design.place(brake), "stays open"),),
        mend=(f"Lead {brake} over a contact that opens with {listed(names)}, or feed it behind {listed(names)}.",),
    )
