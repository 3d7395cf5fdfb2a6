"""A single fault defeats a stop.

A bridge between neighbouring terminals or cores, a broken conductor, a relay that no longer attracts or a button that
stays pressed leaves something fed that the stop must make dead, or starts it again without a deliberate act. Faults
that ISO 13849-2 annex D allows to leave out under conditions that this plan meets are told by the stop proof.

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      S1: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22],
           reset_mode: manual, outputs: [13-14, 23-24]}
      K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      K2: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, G1:L]}
      - {wire: 2, from: K1:2, to: K2:1}
      - {wire: 3, from: K2:2, to: E1:1}
      - {wire: 4, through: [X0:N, E1:2, G1:N]}
      - {wire: PE1, from: X0:PE, to: XPE:1}
      - {wire: PE2, from: XPE:2, to: G1:PE}
      - {wire: 5, through: [G1:V+, K0:A1, K0:13, K0:23]}
      - {wire: 6, through: [XPE:3, G1:V-, K0:A2, K1:A2, K2:A2]}
      - {wire: 7, from: K0:S11, to: S1:11}
      - {wire: 8, from: S1:12, to: K0:S12}
      - {wire: 9, from: K0:S21, to: S1:21}
      - {wire: 10, from: S1:22, to: K0:S22}
      - {wire: 11, from: K0:S33, to: S2:13}
      - {wire: 12, from: S2:14, to: K1:21}
      - {wire: 13, from: K1:22, to: K2:21}
      - {wire: 14, from: K2:22, to: K0:S34}
      - {wire: 15, from: K0:14, to: K1:A1}
      - {wire: 16, from: K0:24, to: K2:A1}
Quiet
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      S1: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]}
      K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      K2: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, G1:L]}
      - {wire: 2, from: K1:2, to: K2:1}
      - {wire: 3, from: K2:2, to: E1:1}
      - {wire: 4, through: [X0:N, E1:2, G1:N]}
      - {wire: PE1, from: X0:PE, to: XPE:1}
      - {wire: PE2, from: XPE:2, to: G1:PE}
      - {wire: 5, through: [G1:V+, K0:A1, K0:13, K0:23]}
      - {wire: 6, through: [XPE:3, G1:V-, K0:A2, K1:A2, K2:A2]}
      - {wire: 7, from: K0:S11, to: S1:11}
      - {wire: 8, from: S1:12, to: K0:S12}
      - {wire: 9, from: K0:S21, to: S1:21}
      - {wire: 10, from: S1:22, to: K0:S22}
      - {wire: 11, from: K0:S33, to: S2:13}
      - {wire: 12, from: S2:14, to: K1:21}
      - {wire: 13, from: K1:22, to: K2:21}
      - {wire: 14, from: K2:22, to: K0:S34}
      - {wire: 15, from: K0:14, to: K1:A1}
      - {wire: 16, from: K0:24, to: K2:A1}
Not judged
    Faults on which only a solution in numbers gives a verdict: the stop proof settles them. Faults of contacts and
    to earth have rules of their own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from wiring.control.script import Moment
from wiring.control.verdicts import FaultVerdict
from wiring.design.design import Design
from wiring.design.stop_causes import Cause, cause_place, causes, is_single_channel, together
from wiring.findings import Cause as Because
from wiring.findings import Finding, Number, Signal
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.causes import scope
from wiring.rules.rule import Item, Judgement, Rule
from wiring.wording import does

RULE = Rule(
    slug="stop-fault-dangerous",
    title="A single fault defeats the stop",
    signal=Signal.WARNING,
    harm="The fault may have been there for months before the stop is needed.",
    sources=(("both", Source("ISO 13849-2", "2012", "annex D", Standing.FROM_MEMORY)),),
)


def _counts(one: FaultVerdict) -> bool:
    return one.fault.kind != "earth" and not is_single_channel(one)


def check(design: Design) -> Iterator[Judgement]:
    """Each part, cable or conductor whose fault is dangerous."""
    for cause in causes(design.stopping, _counts):
        rests = (scope("bypass", *cause.bypasses),) if cause.bypasses else ()
        yield Item(cause.subject, cause, partial(_finding, design), rests=rests)
    for name, result in design.stop_proof.results.items():
        if result.undecided:
            count = len(result.undecided)
            yield RULE.not_judged((name,), f"a solution in numbers for {count} faults: `wiring stop` settles them")


def _finding(design: Design, rows: Sequence[Cause]) -> Finding:
    cause = together(rows)
    again = cause.moment in (Moment.RELEASE, Moment.MAINS_ON)
    verb = "starts again" if again else "stays fed"
    told = does(cause.alive, verb, "start again" if again else "stay fed")
    when = f" ({cause.moment})" if again else ""
    return RULE.finding(
        (cause.subject, *cause.stops),
        f"When {cause.words[0]}, {told}{when} in spite of stop {' and '.join(cause.stops)}",
        cause_place(design.stopping, cause.subject),
        because=tuple(Because(design.place(name), verb) for name in cause.alive),
        numbers=(Number("faults of this kind", float(len(cause.words)), ""),),
        mend=(
            "Let a second channel take the power away, and let the unit see the fault before the next start: "
            "monitored reset, mirror contacts in its loop, channels that a short between them trips.",
        ),
    )
