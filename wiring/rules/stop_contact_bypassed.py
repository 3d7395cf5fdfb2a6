"""A contact that stops or limits opens nothing, because its ends stay joined without it.

A wire from one end of a contact to the other, or a second closed contact beside it, keeps the circuit closed when the
contact opens. The machine works as before, and whoever trusts the contact is not told. Judged are the break contacts of
stop devices, guard switches, limits and thermal cut-outs, the outputs of safety relays and the poles of contactors: of
two in a row one is then lost, and with it the second way to stop. A wire past several of them in a row is named too,
and a key switch, a selector or a button that latches beside a contact of a stop device: left in, it takes the device
out. What suspends a safeguard is held by a hand (IEC 60204-1, 9.3.6).

Fires on hot-wire at S1
    wires+={wire: 14, from: S1:11, to: S1:12, type: control}
Quiet
    14=
Not judged
    Sensors whose purpose the plan does not give (`purpose: limit`), and what a program makes of its inputs.
"""

from __future__ import annotations

from collections.abc import Sequence

from wiring.design.edits import taken_away
from wiring.design.stop.bypass_conductors import PastContacts
from wiring.design.stop.bypasses import Bypass, LeftBridge, bypasses, left_bridges
from wiring.findings import Cause, Mend
from wiring.plan.source import Place
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.wording import listed

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
            _off(design, conductors, alone=not beside)
            if conductors
            else f"Put {part} and {' and '.join(beside)} in series, or lead each to an input of its own.",
        ),
        holds=scope("part", part, *beside) | scope("bypass", *conductors),
        rests=(scope("part", part),),
    )


def _off(design: Design, conductors: Sequence[str], *, alone: bool) -> Mend:
    """Taking the bypass off. Of several in a row some may feed the contact itself: no edit is offered then."""
    if len(conductors) > 1:
        return Mend(f"Take that of {listed(conductors)} off which belongs to no other circuit.")
    away = taken_away(design, [design.circuit.conductor[name] for name in conductors]) if alone else ()
    return Mend(f"Take {conductors[0]} away.", away)


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
    for left in left_bridges(design.machine):
        yield _left(design, left)
    ends = {name for found in by_part.values() for one in found for name in one.conductors}
    for past in design.stopping.past_contacts:
        if past.conductor not in ends:
            yield _past(design, past)


def _left(design: Design, one: LeftBridge) -> Judgement:
    contacts = " and ".join(f"{one.device}:{contact}" for contact in one.contacts)
    follows = f"{one.device} stops nothing" if one.every else f"a channel of {one.device} is lost"
    return RULE.finding(
        (one.operator, one.device),
        f"{one.operator} stays where it is put and then bridges {contacts}: {follows}",
        design.place(one.operator),
        because=(Cause(design.place(one.device), "is bridged"),),
        mend=(
            f"Take {one.operator} away from {one.device}, or lead it through the contact of an enabling device that a "
            "hand holds.",
        ),
    )


def _past(design: Design, past: PastContacts) -> Judgement:
    """A conductor past several contacts in a row, or past one with conductors of others between."""
    wire = design.circuit.conductor[past.conductor]
    parts = tuple(dict.fromkeys(name.partition(":")[0] for name in past.contacts))
    return RULE.finding(
        (wire.id, *parts),
        f"{wire.id} leads past {' and '.join(past.contacts)}: what hangs behind them stays fed when they open",
        wire.place,
        because=[Cause(design.place(part), "is led past") for part in parts],
        mend=(Mend(f"Take {wire.id} away.", taken_away(design, [wire])),),
        holds=scope("part", *parts) | scope("bypass", wire.id),
        rests=(scope("conductor", wire.id),),
    )
