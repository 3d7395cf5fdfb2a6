"""Contacts of the control circuit never come to rest.

A coil that its own break contact feeds picks up, opens, lets go and picks up again: a buzzer.

Fires on hot-wire at S1
    parts.K3={kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {21-22: NC}}
    wires+={wire: 14, from: K0:A1, to: K3:21, type: control}
    wires+={wire: 15, from: K3:22, to: K3:A1, type: control}
    wires+={wire: 16, from: K0:A2, to: K3:A2, type: control}
Quiet
    15.from=K0:A1
Not judged
    Bounce of contacts, and times within one switching.
"""

from __future__ import annotations

from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="control-buzzer",
    title="Contacts never come to rest",
    signal=Signal.CAUTION,
    harm="The contacts burn within minutes and may weld while the machine is in any state.",
    sources=(("both", trade_practice("relay circuits")),),
)


def check(design: Design) -> Judgements:
    """One finding for the machine."""
    devices = tuple(device for device, word in design.unfaulted.unrest if word == "buzzer")
    if devices:
        yield RULE.finding(
            devices,
            f"When {' or '.join(devices)} is worked, or before, contacts of the control circuit never come to rest",
            design.place(devices[0]),
            mend=("Feed no coil through a break contact of its own device.",),
        )
