"""A single fault defeats a stop.

A bridge between neighbouring terminals or cores, a broken conductor, a relay that no longer picks up or a button that
stays pressed leaves something fed that the stop must make dead, or starts it again without a deliberate act. Faults
that ISO 13849-2 annex D allows to leave out under conditions that this plan meets are told by the stop proof.

Fires on hot-wire at S2
    K0.reset_mode=manual
Quiet
    K0.reset_mode=monitored
Not judged
    Faults, and pairs of contactors that fail closed, on which only a solution in numbers gives a verdict, where that
    takes too long or ends in none: the stop proof settles more of them and says what stays open, and why. A machine
    that has no operating point, or never comes to rest, before any fault. Faults of contacts and to earth have rules
    of their own.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.control.script import Moment
from wiring.control.verdicts import FaultVerdict
from wiring.design.stop.causes import Cause, blame_words, cause_place, causes, is_single_channel, to_blame, together
from wiring.findings import Cause as Because
from wiring.findings import Finding, Number
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing
from wiring.wording import counted, does, stops_called

RULE = Rule(
    slug="stop-fault-dangerous",
    title="A single fault defeats the stop",
    signal=Signal.WARNING,
    harm="The fault may have been there for months before the stop is needed.",
    sources=(("both", Source("ISO 13849-2", "2012", "annex D", Standing.FROM_MEMORY)),),
)


def _counts(one: FaultVerdict) -> bool:
    return one.fault.kind != "earth" and not is_single_channel(one)


def check(design: Design) -> Judgements:
    """Each part, cable or conductor whose fault is dangerous."""
    for cause in causes(design.stopping, _counts):
        rests = (scope("bypass", *cause.bypasses),) if cause.bypasses else ()
        yield Item(cause.subject, cause, partial(_finding, design), rests=rests)
    yield from _open(design)


def _open(design: Design) -> Judgements:
    """Whatever the proof leaves open: no plan is clear with any of it."""
    for result in design.stop_proof.results.values():
        name, while_ = result.use.name, result.use.while_
        for sound in result.sound:
            if sound.reason:
                yield RULE.not_judged((name, sound.device), f"how it stands without a fault{while_}: {sound.reason}")
        played = [one for one in result.undecided if one.settled]
        if count := len(result.undecided) - len(played):
            partly = any(one.partly for one in result.undecided if not one.settled)
            settles = "settles more of them and lists what stays open" if partly else "settles this"
            yield RULE.not_judged(
                (name,), f"a solution in numbers for {counted(count, 'fault')}{while_}: `wiring stop` {settles}"
            )
        for reason in dict.fromkeys(one.reason for one in played):
            count = sum(one.reason == reason for one in played)
            verb = "does" if count == 1 else "do"
            yield RULE.not_judged((name,), f"what {counted(count, 'fault')} {verb}{while_}: {reason}")
    for name, welds in design.stopping.hidden_welds.items():
        if welds.open:
            told = counted(welds.open, "pair")
            yield RULE.not_judged(
                (name,),
                f"a solution in numbers for {told} of contacts that fail closed one after the other: "
                "`wiring stop` settles more of them and lists what stays open",
            )


def _finding(design: Design, rows: Sequence[Cause]) -> Finding:
    cause = together(rows)
    again = cause.moment in (Moment.RELEASE, Moment.MAINS_ON)
    verb = "starts again" if again else "stays fed"
    told = does(cause.alive, verb, "start again" if again else "stay fed")
    when = f" ({cause.moment})" if again else ""
    return RULE.finding(
        (cause.subject, *cause.stops, *cause.too_many),
        f"When {cause.words[0]}, {told}{when} in spite of {stops_called(cause.stops)}{blame_words(cause)}",
        cause_place(design.stopping, cause.subject),
        because=(*(Because(design.place(name), verb) for name in cause.alive), *to_blame(design.stopping, cause)),
        numbers=(Number("faults of this kind", float(len(cause.words)), ""),),
        mend=(
            "Let a second channel take the power away, and let the unit see the fault before the next start: "
            "monitored reset, mirror contacts in its loop, channels that a short between them trips.",
        ),
    )
