"""A limit does not stop the way that leads into it, or stops the way back.

Two contactors turn a motor round, or two inputs of an inverter. A limit says which of them moves the load towards it
(`ends: K1`, `ends: T1:FWD`). With the limit worked that way must not be driven any more, and the other one must: in
each other's line two limits let the load run past its end, and from there it cannot come back. Over-travel may part
both. A switch for home at the input for a limit, or a limit at that for home, is read as what it is not.

Fires on mixer at B1
    T1.signals=24 V DC
    T1.inputs=[FWD-COM, REV-COM]
    T1.functions={FWD: run, REV: reverse}
    parts.G1={kind: supply, input: 400 V AC, output: 24 V DC, rated: 2 A}
    parts.S5={kind: push-button, contacts: {13-14: NO}}
    parts.S6={kind: push-button, contacts: {13-14: NO}}
    parts.B1={kind: limit-switch, contacts: {11-12: NC}, ends: T1:REV}
    wires+={wire: 20, from: F2:2, to: G1:L, type: line}
    wires+={wire: 21, from: F2:4, to: G1:N, type: line}
    wires+={wire: 22, through: [G1:V+, S5:13, S6:13], type: line}
    wires+={wire: 23, from: S5:14, to: B1:11, type: line}
    wires+={wire: 24, from: B1:12, to: T1:FWD, type: line}
    wires+={wire: 25, from: S6:14, to: T1:REV, type: line}
    wires+={wire: 26, from: T1:COM, to: G1:V-, type: line}
Quiet
    B1.ends=T1:FWD
Not judged
    Two limits each of which stops one of two ways and does not say which one it ends. A limit that a program reads
    which commands the ways itself. Limits that make.
Known limits
    Which way a motor turns by its phases, and what a drive does with a direction that a program gives it.
"""

from __future__ import annotations

from collections.abc import Iterable

from wiring.design.switching.limits import Limit, limits, misread_switches
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="limit-on-wrong-way",
    title="Limit does not stop its own way",
    signal=Signal.CAUTION,
    harm="The load runs past its end into the stop, or stands at it and cannot be driven back.",
    sources=(("iec", iec_60204("9.3.2, 10.1.4")), ("na", nfpa_79("9.3.2"))),
)


def check(design: Design) -> Judgements:
    """Every limit that says what it ends; those that do not, where two ways are told apart by two limits; and every
    switch that is read as another."""
    for misread in misread_switches(design.machine):
        yield RULE.finding(
            (misread.part, misread.card),
            f"{misread.part} is for {misread.purpose} and leads to {misread.card}:{misread.end}, an input for "
            f"{misread.wants}",
            design.place(misread.part),
            mend=(f"Lead {misread.part} to an input of {misread.card} for {misread.purpose}.",),
        )
    found = list(limits(design.machine, design.operation))
    wrong = [one for one in found if one.ends in {way.name for way in one.ways} and one.ends not in one.stopped]
    for one in found:
        if one.ends not in {way.name for way in one.ways} or (one.program and one.ends not in one.stopped):
            continue
        if one.ends not in one.stopped:
            yield _finding(design, one, wrong)
        elif one.other in one.stopped and not one.over_travel:
            yield _stuck(design, one)
    unsaid: dict[tuple[str, ...], list[Limit]] = {}
    for one in found:
        if not one.ends and len(one.stopped) == 1:
            unsaid.setdefault(tuple(way.name for way in one.ways), []).append(one)
    for ways, some in unsaid.items():
        if len({name for one in some for name in one.stopped}) == 2:
            yield from RULE.ask(
                [one.part for one in some], f"which way each ends (`ends: {ways[0]}`, or `ends: {ways[1]}`)"
            )


def _finding(design: Design, one: Limit, wrong: Iterable[Limit]) -> Judgement:
    instead = f"it stops the other way, {one.other}" if one.stopped else "it stops nothing"
    exchanged = [other.part for other in wrong if other.ends == one.other and other.stopped and one.stopped]
    return RULE.finding(
        (one.part, one.ends.partition(":")[0]),
        f"{one.part} ends the way of {one.ends}, and {one.ends} can be {_in(one)} while it is worked: {instead}",
        design.place(one.part),
        mend=(
            f"Exchange {listed(sorted((one.part, *exchanged)))} in the lines of {one.ends} and {one.other}."
            if exchanged
            else f"Lead the line of {one.ends} through the break contact of {one.part}.",
        ),
    )


def _in(one: Limit) -> str:
    return "fed" if ":" in one.ends else "in"


def _stuck(design: Design, one: Limit) -> Judgement:
    return RULE.finding(
        (one.part, one.other.partition(":")[0]),
        f"{one.part} ends the way of {one.ends} and parts {one.other} too: from there the load cannot come back",
        design.place(one.part),
        mend=(
            f"Lead the line of {one.other} past {one.part}.",
            f"Is {one.part} there for over-travel, which a hand takes back? Then write `purpose: over-travel` there.",
        ),
    )
