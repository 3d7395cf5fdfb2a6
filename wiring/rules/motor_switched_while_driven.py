"""A contact can part a running drive from its motor.

Stepper drives, servo drives and inverters are damaged when their output opens under current: the energy in the winding
drives the output stage beyond its voltage. The power is taken away in front of the drive, or by its safe torque off.

Fires on screw-axis at K1
    parts.K1={kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
    wires+={wire: 12, from: D1:A+, to: K1:13, type: rail}
    C21.join.1=[K1:14, M1:A+]
Quiet
    12=
    C21.join.1=[D1:A+, M1:A+]
Not judged
    Plugs between drive and motor: pull them only with the power off.
Known limits
    A contact that opens only after the drive is disabled is not told from another: accept it with that reason.
"""

from __future__ import annotations

from wiring.design.motor.ways import parts_between, taken_out_of_way
from wiring.findings import Cause, Mend
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="motor-switched-while-driven",
    title="Contact between a drive and its motor",
    signal=Signal.CAUTION,
    harm="Opening it under current kills the drive's output stage; the axis then runs or falls without control.",
    sources=(("both", trade_practice("drive makers' manuals")),),
)


def check(design: Design) -> Judgements:
    """The way from every drive to its motors."""
    for axis in design.axes.values():
        if not axis.motors:
            continue
        motors = ", ".join(motor.name for motor in axis.motors)
        for name, conductor in sorted(parts_between(design, axis.drive).items()):
            if name == axis.drive.name:
                continue
            yield RULE.finding(
                (name, axis.drive.name, *(motor.name for motor in axis.motors)),
                f"{name} lies between {axis.drive.name} and {motors} and can open while the drive feeds it",
                conductor.place if conductor else design.place(name),
                because=[Cause(design.place(name), "the contact")],
                rests=(scope("fed output", axis.drive.name),),
                mend=(
                    Mend(
                        f"Take {name} out of the motor conductors and let it cut the supply of {axis.drive.name}, "
                        "or its safe torque off.",
                        taken_out_of_way(design, name),
                    ),
                ),
            )
