"""Two parts that must never be on together can be fed at once.

Two solenoids that push one spool from both sides, the raising and the lowering of one table, a clamp and its feed: what
is dangerous or destroys itself when both are on is locked against the other, by break contacts or by a mechanical lock
(IEC 60204-1, 9.3.4; NFPA 79, 9.3.4). The plan names such parts under `excludes`. Every position of operators and
programs in the way is tried; a relay is picked up just where its coil is fed then. Valves of which the
plan says nothing, and which can be on together though no state has them so, are asked.

Fires on sorting-gate at Y1
    Y1.excludes=[Y2]
    K1.contacts={13-14: NO, 21-22: NC}
    parts.K2={kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
    parts.Y2={kind: valve, rated: 24 V DC 5 W, suppressor: diode, metal: false}
    wires+={wire: 20, from: A1:O2, to: K2:A1, type: control}
    wires+={wire: 21, from: K2:A2, to: X2:9, type: control}
    wires+={wire: 22, from: X1:8, to: K2:13, type: control}
    wires+={wire: 23, from: K2:14, to: Y2:1, type: control}
    wires+={wire: 24, from: Y2:2, to: X2:10, type: control}
Quiet
    20.to=K1:21
    wires+={wire: 25, from: K1:22, to: K2:A1, type: control}
Not judged
    Motors of drives that no wired run input tells to run, whose program keeps them apart or not, and pairs with more
    than eight relays with break contacts in their way.
Known limits
    A moment in which one still drops while the other one closes is not counted.
"""

from __future__ import annotations

from wiring.design.switching.exclusion import ExcludedPair, excluded_pairs, unsaid_valves
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="excluded-parts-on-together",
    title="Parts that exclude one another can be on together",
    signal=Signal.WARNING,
    harm="Both pull at once: a coil burns, a mechanism breaks, or something moves that nobody expects.",
    sources=(("iec", iec_60204("9.3.4")), ("na", nfpa_79("9.3.4"))),
)


def check(design: Design) -> Judgements:
    """Every pair that the plan names; then what it does not say of valves."""
    unknown: list[str] = []
    for pair in excluded_pairs(design.machine):
        if pair.together is None:
            unknown += (pair.first, pair.second)
        elif pair.together:
            yield RULE.finding(
                (pair.first, pair.second),
                f"{pair.first} and {pair.second} must never be on together, and {_at_once(pair)}",
                design.place(pair.first),
                because=(Cause(design.place(pair.second), f"excludes {pair.first}"),),
                mend=(
                    f"Lead each through a break contact of what switches the other one: {pair.first} of {pair.second}, "
                    f"and {pair.second} of {pair.first}.",
                    "Or fit a mechanical lock, and write it as the `interlock` of one contactor.",
                ),
            )
    yield from RULE.ask(unknown, "what keeps them apart: a program, or too many contacts to try")
    open_pairs = list(unsaid_valves(design.machine, design.operation))
    yield from RULE.ask(
        (name for pair in open_pairs for name in pair),
        "which of them must never be on together (`excludes: [Y2]`, or `excludes: []` for one that may)",
    )


def _at_once(pair: ExcludedPair) -> str:
    return "nothing but a program keeps one off while the other runs" if pair.told else "both can be fed at once"
