"""Two contactors that turn a load round, or make its star and its delta, can be in together, and short the lines.

Both lead the same conductors to the same load, in another order. While the one is in, a break contact of it must keep
the coil of the other one dead, and the other way round, or a mechanical lock does (`interlock`): a hand that presses
both buttons, or a contactor that hangs, closes a short circuit otherwise (IEC 60204-1, 9.3.4). Where a state of the
plan has both in, the lines are shorted as soon as it begins. Outputs of a program that could do so are taken in turn.

Fires on mixer at K1
    parts.K1={kind: contactor, poles: 3, coil: 400 V AC 8 VA, contacts: {21-22: NC}}
    parts.K2={kind: contactor, poles: 3, coil: 400 V AC 8 VA, contacts: {21-22: NC}}
    parts.S1={kind: push-button, contacts: {13-14: NO}}
    parts.S2={kind: push-button, contacts: {13-14: NO}}
    wires+={wire: 20, through: [F3:2, K1:1, K2:1, S1:13, S2:13], type: line}
    wires+={wire: 21, through: [F3:4, K1:3, K2:3, K1:A2, K2:A2], type: line}
    wires+={wire: 22, through: [F3:6, K1:5, K2:5], type: line}
    C2.join.1=[K1:2, M2:U]
    C2.join.2=[K1:4, M2:V]
    C2.join.3=[K1:6, M2:W]
    wires+={wire: 23, from: K1:2, to: K2:6, type: line}
    wires+={wire: 24, from: K1:4, to: K2:4, type: line}
    wires+={wire: 25, from: K1:6, to: K2:2, type: line}
    wires+={wire: 26, from: S1:14, to: K1:A1, type: line}
    wires+={wire: 27, from: S2:14, to: K2:A1, type: line}
Quiet
    26.to=K2:21
    27.to=K1:21
    wires+={wire: 28, from: K2:22, to: K1:A1, type: line}
    wires+={wire: 29, from: K1:22, to: K2:A1, type: line}
Not judged
    What keeps two drives apart that share a load.
Known limits
    Push-buttons or a relay with two throws that feed one coil or the other count as a lock, though a contactor that
    hangs gets past them. With more than eight of these a lock is taken as there.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.switching.coil_feeds import unlocked
from wiring.findings import Cause, Mend
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="reversing-without-interlock",
    title="Both contactors of a reversing circuit can be in at once",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Both buttons pressed, or a contactor that hangs, short the lines through the contactors, which weld or burn.",
    sources=(
        ("iec", iec_60204("9.3.4")),
        ("na", nfpa_79("9.3.4")),
    ),
)


def check(design: Design) -> Judgements:
    """One finding for each pair, whichever of the two can be fed past the other."""
    told: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for one in unlocked(design.machine):
        told.setdefault(tuple(sorted((one.first, one.second))), []).append((one.first, one.second))
    for pair, ways in told.items():
        words = " and ".join(f"{second} can be fed while {first} is in" for first, second in ways)
        shorted = [
            state for state, point in design.states.items() if set(pair) <= {name for name, _ in point.attracted}
        ]
        at_once = f", as they do at once in state {listed(shorted)}" if shorted else ""
        yield RULE.finding(
            pair,
            f"{words}: together they short the lines{at_once}",
            design.place(pair[0]),
            signal=Signal.WARNING if shorted else None,
            holds=scope("part", *pair) | scope("shorted", *pair) if shorted else None,
            because=(Cause(design.place(pair[1]), "shorts the lines together with it"),),
            mend=[
                *(f"Put a break contact of {first} in series with the coil of {second}." for first, second in ways),
                Mend(
                    f"Or fit a mechanical lock between them, and write it (`interlock: {pair[1]}`).",
                    of_part(pair[0], "interlock", pair[1]),
                ),
            ],
        )
