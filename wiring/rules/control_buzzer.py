"""Contacts of the control circuit never come to rest.

A coil that its own break contact feeds picks up, opens, lets go and picks up again: a buzzer. So does a ring of coils,
an odd number of which each let the next one go. Asked of every coil by the network, and of every state and stop.

Fires on hot-wire at K3
    parts.K3={kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {21-22: NC}}
    wires+={wire: 14, from: K0:A1, to: K3:21, type: control}
    wires+={wire: 15, from: K3:22, to: K3:A1, type: control}
    wires+={wire: 16, from: K0:A2, to: K3:A2, type: control}
Quiet
    15.from=K0:A1
Not judged
    Bounce of contacts, and times within one switching. A relay with a delay, which is then a pulse generator. Coils
    that lock one another out and that only a program switches on.
"""

from __future__ import annotations

from wiring.design.switching.unrest import unrests
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, trade_practice
from wiring.wording import listed

RULE = Rule(
    slug="control-buzzer",
    title="Contacts never come to rest",
    signal=Signal.CAUTION,
    harm="The contacts burn within minutes and may weld while the machine is in any state.",
    sources=(("both", trade_practice("relay circuits")),),
)


def check(design: Design) -> Judgements:
    """Each coil behind its own break contact; else the rings of a state, else what the stops find."""
    reachable = design.operation.reachability
    for part, contacts in reachable.restless:
        yield _own(design, part.name, contacts)
    told = {part.name for part, _ in reachable.restless}
    rings = [one for one in unrests(reachable, design.states) if not one.rests and not told & set(one.parts)]
    for ring in rings:
        yield RULE.finding(
            (*ring.parts, ring.state),
            f"In state {ring.state} {listed(ring.parts)} never come to rest: each lets the next one go",
            design.place(ring.parts[0]),
            mend=(f"Let no coil of {listed(ring.parts)} open its own feed over the contacts of the others.",),
        )
    devices = tuple(device for device, word in design.unfaulted.unrest if word == "buzzer")
    if devices and not told and not rings:
        yield RULE.finding(
            devices,
            f"When {' or '.join(devices)} is worked, or before, contacts of the control circuit never come to rest",
            design.place(devices[0]),
            mend=("Feed no coil through a break contact of its own device.",),
        )


def _own(design: Design, name: str, contacts: tuple[str, ...]) -> Judgement:
    what = listed([f"{name}:{contact}" for contact in contacts]) or f"a contact of {name} itself"
    return RULE.finding(
        (name,),
        f"{name} opens its own coil by {what}: it picks up, lets go and picks up again",
        design.place(name, "contacts"),
        mend=(f"Feed no coil through a break contact of its own device: take {what} out of the way to {name}.",),
        holds=scope("part", name),
    )
