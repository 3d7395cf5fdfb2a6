"""Loads share a return that leads to no source: a star without its neutral.

Each then returns through the others. All on and alike they share the voltage evenly, and nothing shows; one off, or
one weaker than the next, and it gets too little or too much: two loads of 120 V in a split-phase system lie in series
across 240 V. Every device that switches one of them is opened on its own, in every state, and what the others get is
looked at.

Fires on mixer at X3
    parts.X3={kind: terminals, points: 3, bridged: [1-3], rated: 24 A, rated_voltage: 400 V AC, sizes: 0.5..4 mm2}
    parts.K1={kind: contactor, poles: 2, coil: 24 V DC 3 W, rated: 9 A, rated_voltage: 400 V AC}
    parts.E1={kind: heater, rated: 230 V AC 100 W, metal: false}
    parts.E2={kind: heater, rated: 230 V AC 100 W, metal: false}
    wires+={wire: 20, from: F2:2, to: K1:1, type: line}
    wires+={wire: 21, from: K1:2, to: E1:1, type: line}
    wires+={wire: 22, from: F2:4, to: E2:1, type: line}
    wires+={wire: 23, from: E1:2, to: X3:1, type: line}
    wires+={wire: 24, from: E2:2, to: X3:2, type: line}
Quiet
    parts.K2={kind: contactor, poles: 2, coil: 24 V DC 3 W, rated: 9 A, rated_voltage: 400 V AC}
    22.from=K1:4
    wires+={wire: 25, from: F2:4, to: K1:3, type: line}
Not judged
    Loads that one device switches together: a star of three equal heaters behind one contactor needs no neutral.
Known limits
    A fuse of one of them that opens by itself.
"""

from __future__ import annotations

from wiring.design.connection.common_returns import FloatingReturn, floating_returns
from wiring.findings import Number
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="common-return-open",
    title="Loads share a return that leads to no source",
    signal=Signal.CAUTION,
    harm="One load off, and the others work weakly or not at all; one weaker than the next gets too much and burns.",
    sources=(("both", Source("Physics", "", "voltage shared by resistances in series", Standing.CONFIRMED)),),
    gravest=Signal.WARNING,
)
#: What a load bears above its rated voltage, as a share: the upper end of IEC 60038, table 1 (from memory).
_MOST = 1.1


def check(design: Design) -> Judgements:
    """Every common return of loads that are switched apart."""
    for one in floating_returns(design.machine, design.operation):
        yield _finding(design, one)


def _finding(design: Design, one: FloatingReturn) -> Judgement:
    share, load, opened = one.highest if one.highest[0] > _MOST else one.lowest
    without = f" with {opened} open" if opened else ""
    return RULE.finding(
        (*one.joints, *one.loads),
        f"The return of {listed(one.loads)} leads to no source: they lie in series with one another, and {load} gets "
        f"{100.0 * share:.0f} % of its voltage{without}",
        design.place((*one.joints, *one.loads)[0]),
        signal=Signal.WARNING if one.highest[0] > _MOST else RULE.signal,
        numbers=(Number("voltage", 100.0 * share, "%", load),),
        mend=(f"Lead {' or '.join(one.joints) or 'their common point'} to the neutral or return of their source.",),
        holds=scope("part", *one.loads),
    )
