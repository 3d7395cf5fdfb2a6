"""A contact that stops or limits opens nothing, because its ends stay joined without it.

A wire from one end of a contact to the other, or a second closed contact beside it, keeps the circuit closed when the
contact opens. The machine works as before, and whoever trusts the contact is not told. Judged are the break contacts of
stop devices, guard switches and limits, and the outputs of safety relays: of two outputs one is then lost, and with it
the second way to stop.

Fires on hot-wire at S1
    wires+={wire: 14, from: S1:11, to: S1:12, type: control}
Quiet
    14=
Not judged
    Sensors whose purpose the plan does not give (`purpose: limit`), and what a program makes of its inputs.
"""

from __future__ import annotations

from wiring.design.bypasses import Bypass, bypasses
from wiring.design.edits import taken_away
from wiring.findings import Cause, Mend
from wiring.plan.source import Place
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="stop-contact-bypassed",
    title="A contact that stops or limits opens nothing",
    signal=Signal.WARNING,
    harm="The device is worked and nothing hears it, or one of two ways to stop is gone before the other one fails.",
    sources=(
        ("iec", iec_60204("9.4.2.3")),
        ("na", nfpa_79("9.4.1")),
        ("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),
    ),
)


def _place(design: Design, bypass: Bypass) -> Place:
    if len(bypass.conductors) == 1:
        return design.circuit.conductor[bypass.conductors[0]].place
    return design.place(bypass.part)


def _finding(design: Design, part: str, found: list[Bypass]) -> Judgement:
    conductors = tuple(dict.fromkeys(name for one in found for name in one.conductors))
    beside = tuple(dict.fromkeys(name for one in found for name in one.parts))
    contacts = " and ".join(f"{part}:{one.contact}" for one in found)
    by = f"past {'it' if len(found) == 1 else 'them'} through {' and '.join((*conductors, *beside))}"
    return RULE.finding(
        (part, *conductors, *beside),
        f"{contacts} {'opens' if len(found) == 1 else 'open'} nothing: the circuit goes on {by}",
        _place(design, found[0]),
        because=tuple(Cause(design.place(name), "closed beside it") for name in beside),
        mend=(
            Mend(
                f"Take {' and '.join(conductors)} away.",
                taken_away(design, [design.circuit.conductor[name] for name in conductors]) if not beside else (),
            )
            if conductors
            else f"Put {part} and {' and '.join(beside)} in series, or lead each to an input of its own.",
        ),
        holds=scope("part", part, *beside) | scope("bypass", *conductors),
        rests=(scope("part", part),),
    )


def check(design: Design) -> Judgements:
    """One finding for each part with bypassed contacts; two that hide one another are one finding."""
    by_part: dict[str, list[Bypass]] = {}
    for one in bypasses(design.machine):
        by_part.setdefault(one.part, []).append(one)
    told: set[str] = set()
    for part, found in by_part.items():
        if part in told:
            continue  # of a pair the other part is named already
        told |= {name for one in found for name in one.parts}
        yield _finding(design, part, found)
