"""Two contactors feed a motor in the same order of phases: it turns the same way with either.

A three-phase motor turns round when two of its phases change places, a DC motor when its two ends do. Contactors whose
poles lie in parallel, each from the same conductor to the same terminal of the motor, change nothing. Two that are in
together in a state share the current or the stop, and are not meant to turn anything round.

Fires on mixer at K1
    parts.K1={kind: contactor, poles: 3, coil: 400 V AC 8 VA}
    parts.K2={kind: contactor, poles: 3, coil: 400 V AC 8 VA}
    wires+={wire: 20, through: [F3:2, K1:1, K2:1], type: line}
    wires+={wire: 21, through: [F3:4, K1:3, K2:3], type: line}
    wires+={wire: 22, through: [F3:6, K1:5, K2:5], type: line}
    C2.join.1=[K1:2, M2:U]
    C2.join.2=[K1:4, M2:V]
    C2.join.3=[K1:6, M2:W]
    wires+={wire: 23, from: K1:2, to: K2:2, type: line}
    wires+={wire: 24, from: K1:4, to: K2:4, type: line}
    wires+={wire: 25, from: K1:6, to: K2:6, type: line}
Quiet
    23.to=K2:6
    25.to=K2:2
Not judged
    Contactors in parallel on purpose, to share the current: accept the finding with that as the reason.
"""

from __future__ import annotations

from wiring.design.switching.coil_feeds import one_way
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing
from wiring.wording import does

RULE = Rule(
    slug="reversing-turns-one-way",
    title="Two contactors turn a motor the same way",
    signal=Signal.CAUTION,
    harm="The motor runs on into its end where it should come back, past the end switch of the other direction.",
    sources=(
        (
            "both",
            Source(
                "principle of the three-phase motor",
                "",
                "its sense follows the order of phases",
                Standing.COMMON_PRACTICE,
            ),
        ),
    ),
)


def check(design: Design) -> Judgements:
    """Each pair of contactors that lie in parallel in front of a motor."""
    for first, second, motors in one_way(design.machine, design.operation.states.values()):
        yield RULE.finding(
            (first, second, *motors),
            f"{first} and {second} lie in parallel, pole for pole: {does(motors, 'turns', 'turn')} the same "
            "way with either",
            design.place(first),
            because=(Cause(design.place(second), "leads every conductor to the same terminal"),),
            mend=(f"Change two of the conductors between {second} and {motors[0]} over.",),
        )
