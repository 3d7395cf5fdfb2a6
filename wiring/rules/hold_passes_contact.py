"""A coil that holds itself passes a contact that should drop it, or is started past it, or does not hold at all.

A stop button, an end switch, an overload contact, a cut-out or a guard that lies in the way of the start button alone
keeps the coil from coming in; once it is in, its own contact feeds it past them, and it stays. A stop button that lies
in the way of the holding contact alone stops nothing while the start button is held or stuck: a stop overrides the
start. Where a further start button lies in the way of the holding contact, or a stop button makes in place of breaking,
the coil falls as soon as that is let go. Where a contact of another coil lies beside the start button, in place of the
own one or joined to it, the start of that one starts this one, and its stop button keeps it out no more; and where no
contact of its own lies there, it does not hold, whatever stop button there is.

Fires on hot-wire at K9
    parts.K9={kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
    parts.S8={kind: push-button, contacts: {13-14: NO}}
    parts.S9={kind: push-button, contacts: {11-12: NC}}
    wires+={wire: 14, through: [K0:A1, S9:11, K9:13], type: control}
    wires+={wire: 15, from: S9:12, to: S8:13, type: control}
    wires+={wire: 16, through: [S8:14, K9:14, K9:A1], type: control}
    wires+={wire: 17, from: K9:A2, to: K0:A2, type: control}
Quiet
    14.through=[K0:A1, S9:11]
    wires+={wire: 18, from: S9:12, to: K9:13, type: control}
Not judged
    Coils that a program drives, or a switch that stays. Level and temperature may give leave to start alone; so may a
    pressure, which is told as a caution.
Known limits
    Contacts of other coils are taken to stand either way: what stops through a relay is judged by the rules on stops.
"""

from __future__ import annotations

from wiring.design.switching.coils_together import Together, coils_together
from wiring.design.switching.held_coils import Held, held_coils
from wiring.findings import Cause
from wiring.parts.operators import PressureSwitch
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import agreeing, does, listed

RULE = Rule(
    slug="hold-passes-contact",
    title="Coil that holds itself passes what should drop it",
    signal=Signal.WARNING,
    harm="The stop button is pressed or the end is reached, and the machine runs on.",
    sources=(("iec", iec_60204("9.2.2, 9.2.3.3")), ("na", nfpa_79("9.2.2, 9.2.5.3"))),
)


def check(design: Design) -> Judgements:
    """Each coil that holds itself wrongly."""
    for held in held_coils(design.machine):
        if held.past:
            yield _passes(design, held)
        if held.kept:
            yield _kept(design, held)
        if held.beaten:
            yield _beaten(design, held)
        if held.idle and not held.kept:
            yield _idle(design, held)
    for together in coils_together(design.machine):
        yield _together(design, together)


def _together(design: Design, found: Together) -> Judgement:
    own, other = found.part.name, found.other.name
    if found.mutual:
        said = f"{does(found.past, 'drops', 'drop')} neither {own} nor {other}: the two hold each other"
    else:
        said = (
            f"{own} comes in with {other}, which {does(found.starts, 'starts', 'start')}, and again as soon as "
            f"{' or '.join(found.past)} is let go: a contact of {other} lies beside its start button"
        )
    return RULE.finding(
        (own, other, *found.past),
        said,
        design.place(own),
        because=(Cause(design.place(other), f"brings {own} in"),),
        mend=(f"Lead a make contact of {own} itself beside its start button, and none of {other}.",),
    )


def _passes(design: Design, held: Held) -> Judgement:
    names = tuple(dict.fromkeys(name for name, _ in held.past))
    contacts = [f"{name}:{contact}" for name, contact in held.past]
    own = held.part.name
    leave = all(isinstance(design.parts[name].data, PressureSwitch) for name in names)
    only = [f"If {listed(names)} is to give leave to start alone, accept this with that reason."] if leave else []
    return RULE.finding(
        (own, *names),
        f"{does(contacts, 'keeps', 'keep')} {own} from coming in and {agreeing(contacts, 'does', 'do')} not drop it "
        f"afterwards: its own contact feeds it past {listed(names)}",
        design.place(own),
        because=tuple(Cause(design.place(name), "lies beside the holding contact") for name in names),
        signal=Signal.CAUTION if leave else Signal.WARNING,
        mend=(f"Lead the holding contact of {own} in behind {listed(names)}, beside the start button alone.", *only),
    )


def _kept(design: Design, held: Held) -> Judgement:
    own = held.part.name
    return RULE.finding(
        (own, *held.kept),
        f"{own} has a contact to hold itself and falls as soon as {listed(held.kept)} is let go",
        design.place(own),
        signal=Signal.CAUTION,
        mend=(f"Take a break contact for {listed(held.kept)} if that is to stop {own}, or lead it beside the hold.",),
    )


def _idle(design: Design, held: Held) -> Judgement:
    own = held.part.name
    return RULE.finding(
        (own, *held.starts, *held.idle),
        f"{own} falls as soon as {' or '.join(held.starts)} is let go: no contact of it holds it, and "
        f"{listed(held.idle)} {agreeing(held.idle, 'has', 'have')} nothing to drop",
        design.place(own),
        signal=Signal.CAUTION,
        mend=(f"Lead a make contact of {own} beside {' and '.join(held.starts)}.",),
    )


def _beaten(design: Design, held: Held) -> Judgement:
    names = tuple(dict.fromkeys(name for name, _ in held.beaten))
    own = held.part.name
    return RULE.finding(
        (own, *names),
        f"{does(names, 'does', 'do')} not drop {own} while its start button is pressed or sticks: the start is led "
        f"past {agreeing(names, 'it', 'them')}, and a stop goes before a start",
        design.place(own),
        signal=Signal.CAUTION,
        because=tuple(Cause(design.place(name), "lies in the way of the holding contact alone") for name in names),
        mend=(f"Lead the start button of {own} in behind {listed(names)} as well.",),
    )
