"""A motor, fan or pump hangs on the semiconductor that a temperature controller pulses for a heater.

Such a controller gives its heat in pulses of a second or less, and none when it is warm. A heater evens them out; a
motor starts with every one of them, takes its starting current all the time, and does not turn when it should.

Fires on hot-wire at M1
    parts.N1={kind: temperature-controller, supply: 230 V AC 5 VA, outputs: {P+-P-: pulse 12 V}}
    parts.V1={kind: solid-state-relay, control: 4..32 V DC, rated: 25 A, rated_voltage: 24..280 V AC}
    parts.M1={kind: motor, voltage: 230 V AC, phases: 1, rated_power: 200 W, metal: false}
    wires+={wire: L6, through: [K2:2, N1:L, V1:1], type: line}
    wires+={wire: L7, from: V1:2, to: M1:U1, type: line}
    wires+={wire: N3, through: [G4:N, N1:N, M1:U2], type: neutral}
    wires+={wire: 14, from: N1:P+, to: V1:A1, type: control}
    wires+={wire: 15, from: N1:P-, to: V1:A2, type: control}
Quiet
    L7.from=V1:1
Not judged
    Pulses that a program gives at an output.
Known limits
    How long the pulses are that are set in the controller.
"""

from __future__ import annotations

from wiring.design.switching.pulsed import pulsed_motors
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="motor-fed-by-pulses",
    title="Motor gets the pulses of a heater",
    signal=Signal.CAUTION,
    harm="It hums, overheats and burns, and does not move what it should while the heater is warm.",
    sources=(("both", trade_practice("motors are not fed in pulses")),),
)


def check(design: Design) -> Judgements:
    """Everything that turns behind a semiconductor that gets pulses."""
    for one in pulsed_motors(design.machine):
        yield RULE.finding(
            (one.load, one.switch, one.controller),
            f"{one.load} hangs on {one.switch}, which {one.controller} turns on and off in pulses: it starts with each "
            "of them and stands while none comes",
            design.place(one.load),
            because=(Cause(design.place(one.switch), f"pulsed by {one.controller}"),),
            mend=(
                f"Feed {one.load} from ahead of {one.switch}, over a contact that stays closed while it is to turn.",
            ),
        )
