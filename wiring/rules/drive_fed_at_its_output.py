"""A source, or a load that is no motor, is connected to the motor terminals of a drive.

The mains, or a supply, reach U, V, W or a phase of the drive through contacts that a state closes. Its output stage
feeds back through its diodes into an empty bus, without charging resistor: it explodes at power-up. A capacitor, a
mains filter, an arrester, a suppressor, a coil or a supply there takes a surge of current or of voltage at each of its
pulses; a braking resistor glows, and a heater draws what its motor should have.

Fires on mixer at T1
    10.to=T1:U
    11.to=T1:V
    12.to=T1:W
    C1.join.1=[T1:L1, M1:U]
    C1.join.2=[T1:L2, M1:V]
    C1.join.3=[T1:L3, M1:W]
Quiet
    10.to=T1:L1
    11.to=T1:L2
    12.to=T1:L3
    C1.join.1=[T1:U, M1:U]
    C1.join.2=[T1:V, M1:V]
    C1.join.3=[T1:W, M1:W]
Not judged
    A bypass contactor past a drive that no state of the plan closes; brakes, which rules of their own judge.
"""

from __future__ import annotations

from wiring.design.motor.drive_outputs import FedOutput, fed_outputs, loaded_outputs
from wiring.findings import Cause, Number
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="drive-fed-at-its-output",
    title="Something that is no motor on the output of a drive",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="The output stage of the drive explodes when the power comes on; nobody must stand in front of it.",
    sources=(("both", trade_practice("drive makers' manuals")),),
)
#: Above this a bursting output stage hurts [V] (upper end of PELV in dry places, IEC 60204-1, 6.4.1).
_DANGEROUS_V = 60.0


def check(design: Design) -> Judgements:
    """Every drive with a source or a foreign load on its motor terminals."""
    for one in fed_outputs(design.machine, design.operation):
        yield _finding(design, one)
    for drive, load in loaded_outputs(design.machine):
        yield RULE.finding(
            (load, drive),
            f"{load} ({design.parts[load].title}) hangs on the output of {drive}, which feeds motors alone",
            design.place(load),
            mend=(f"Take {load} away from the motor conductors of {drive}; feed it ahead of the drive.",),
        )


def _finding(design: Design, one: FedOutput) -> Judgement:
    ends = ", ".join(f"{one.drive}:{end}" for end in one.terminals)
    wires = [design.circuit.conductor[name] for name in one.conductors]
    return RULE.finding(
        (one.drive, *one.conductors),
        f"{one.source} is connected to the output of {one.drive}, at {ends}",
        wires[0].place if wires else design.place(one.drive),
        signal=Signal.WARNING if one.volts > _DANGEROUS_V else RULE.signal,
        because=[Cause(wire.place, "leads there") for wire in wires[1:]],
        numbers=(Number("source", one.volts, "V", one.source),),
        mend=(f"Lead the feed to the input of {one.drive}, and its output to the motor alone.",),
        holds=scope("part", one.drive) | scope("fed output", one.drive),
    )
