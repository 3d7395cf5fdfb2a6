"""The protective conductor of a motor on a drive runs outside its cable.

A motor on an inverter or servo drive sends a current at every switching edge into its frame, and the way back is its
protective conductor. In the cable, beside the phases, it closes a small loop; outside it the loop is large, and what it
spans listens. The protection against shock is the same, so this is a notice.

Fires on mixer at C1
    C1.join={1: [T1:U, M1:U], 2: [T1:V, M1:V], 3: [T1:W, M1:W]}
    wires+={wire: PE5, from: XPE:4, to: M1:PE, type: earth, length: 4 m}
Quiet
    PE5=
    C1.join={1: [T1:U, M1:U], 2: [T1:V, M1:V], 3: [T1:W, M1:W], GNYE: [XPE:4, M1:PE]}
Not judged
    A motor whose protective conductor is missing altogether (told by `earth-missing`).
Known limits
    Stepper motors at extra-low voltage are left out, and cables that reach the motor over terminals.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.circuit.roles import is_earth_point
from wiring.findings import Cause
from wiring.parts.base import Part
from wiring.parts.drives import Inverter, ServoDrive
from wiring.parts.elements import Function
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice
from wiring.wording import does

RULE = Rule(
    slug="cable-protective-core-missing",
    title="Earth of a motor runs outside its cable",
    signal=Signal.NOTICE,
    harm="Sensors and axes near the motor cable catch its switching noise: lost steps, phantom limits.",
    sources=(("both", trade_practice("drive makers' manuals")),),
)


def check(design: Design) -> Judgements:
    """Every metal motor on an inverter or a servo drive."""
    for axis in design.axes.values():
        if not isinstance(axis.drive.data, Inverter | ServoDrive):
            continue
        for motor in axis.motors:
            yield from _judge(design, motor)


def _at(design: Design, motor: Part, function: Function) -> list[Conductor]:
    ends = [(motor.name, name) for name, terminal in motor.terminals.items() if terminal.function is function]
    return [conductor for end in ends for conductor in design.circuit.conductors_at(end) if conductor.kind != "shield"]


def _judge(design: Design, motor: Part) -> Judgements:
    phases = [conductor for conductor in _at(design, motor, Function.MOTOR) if conductor.cable]
    earths = [c for c in _at(design, motor, Function.PE) if all(is_earth_point(design.circuit, end) for end in c.ends)]
    cables = sorted({conductor.cable or "" for conductor in phases})
    if not cables or not earths or any(earth.cable in cables for earth in earths):
        return
    yield RULE.finding(
        (*cables, motor.name),
        f"{does(cables, 'has', 'have')} no protective core: {motor.name} is earthed by {earths[0].id} outside it",
        phases[0].place,
        because=[Cause(earths[0].place, f"earths {motor.name}")],
        mend=(f"Take a motor cable with a protective core for {motor.name}, and earth it by that.",),
    )
