"""A guard opens, or a light curtain is entered, while what is behind it still turns.

A stop takes the power away and not the motion: a spindle, a saw or a blower turns on for its run-down time. A guard
that can be opened at any time, and a curtain, must be so far away that this is over before a hand gets there, at 1.6
m/s (ISO 13855, 9); any other guard must stay locked until then (ISO 14119). Where the plan gives no `distance` of a
guard, what lasts longer than the way of an arm, 0.85 m, is told, and what is shorter is asked. What is behind a guard
it says itself (`guards: [M1]`); where it does not, that is all from which its stops take the power.

Fires on hot-wire at B1
    parts.B1={kind: guard-switch, contacts: {11-12: NC direct, 21-22: NC direct}, rated: 3 A, distance: 0.5 m}
    stops.hood={devices: [B1], category: 0, reset: S2, removes: hazards}
    parts.E1={kind: fan, title: blower, at: machine, rated: 36 V DC 90 W, metal: false, hazardous: true, run_on: 4 s}
    20.to=E1:+
    21.from=E1:-
    5.to=B1:11
    wires+={wire: 5b, from: B1:12, to: K0:S12, type: control}
    7.to=B1:21
    wires+={wire: 7b, from: B1:22, to: K0:S22, type: control}
Quiet
    B1.locking=true
Not judged
    Parts whose `run_down` or `run_on` the plan does not give, and guards without a `distance` where they are short. A
    part that a locking guard stops too, where no `guards` says through which of both it is reached.
Known limits
    What stays hot behind a guard is not judged. The time in which a contactor drops and a stop relay answers is not
    counted, nor that a hand near a curtain is faster, 2 m/s, and gets past its beams (ISO 13855, 6, from memory). A
    guard that no stop names takes nothing away and is told by the stop proof.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.design.edits import of_part
from wiring.design.stop.guard_access import APPROACH, RunDown, run_downs
from wiring.findings import Cause, Finding, Mend, Number
from wiring.parts.operators import GuardSwitch
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="guard-opens-before-standstill",
    title="Guard opens while what is behind it still moves",
    signal=Signal.WARNING,
    harm="A hand is in the machine before it stands, and is drawn in, cut or burnt.",
    sources=(("both", Source("ISO 14119", "2013", "6.2.1", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Judgements:
    """What goes on too long, told together for each guard; run-down times and distances that are not given."""
    found = list(run_downs(design.stopping))
    doubtful: list[str] = []
    for one in found:
        late = one.lasts_s is not None and one.lasts_s > one.reached_s * (1 + 1e-9)
        if late and one.doubt:
            doubtful += [one.guard, one.part]
        elif late:
            yield Item(one.guard, one, partial(_finding, design))
    yield from RULE.ask(doubtful, "what can be reached through the guard once it is open (`guards: [M1]`)")
    unknown = [one.part for one in found if one.lasts_s is None]
    yield from RULE.ask(unknown, "how long they turn or flow on without power (`run_down`, `run_on`)")
    short = [one for one in found if not one.measured and one.lasts_s and one.lasts_s <= one.reached_s]
    yield from RULE.ask((one.guard for one in short), "the way from the guard to what can hurt (`distance: 0.8 m`)")


def _finding(design: Design, rows: Sequence[RunDown]) -> Finding:
    worst = max(rows, key=lambda row: (row.lasts_s or 0.0, row.part))
    guard, parts = worst.guard, sorted({row.part for row in rows})
    stops = list(dict.fromkeys(row.stop for row in rows))
    way = "the way given" if worst.measured else "the reach of an arm, no distance is given"
    assert worst.lasts_s is not None
    locks = isinstance(design.parts[guard].data, GuardSwitch)
    after = f"{guard} was opened, which does not lock" if locks else f"{guard} was entered"
    lock = Mend(
        f"Lock {guard} until {listed(parts)} {agreeing(parts, 'stands', 'stand')} still (`locking: true`).",
        of_part(guard, "locking", "true"),
    )
    return RULE.finding(
        (guard, *parts, *stops),
        f"{worst.part} goes on for {worst.lasts_s:.3g} s after {after}, and a hand is there in {worst.reached_s:.2g} s",
        design.place(guard),
        because=[Cause(design.place(part), f"goes on behind {guard}") for part in parts],
        numbers=(Number("run-down", worst.lasts_s, "s", worst.part),),
        limit=Limit(worst.reached_s, "s", APPROACH.source, f"{way}, at {APPROACH.value:g} m/s"),
        mend=(
            *((lock,) if locks else ()),
            f"Brake {listed(parts)}, and write the shorter time; or move {guard} away (`distance`).",
        ),
    )
