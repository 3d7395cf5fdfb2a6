"""Contacts of the control circuit never come to rest.

A coil that its own break contact feeds attracts, opens, lets go and attracts again: a buzzer.

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      S1: {kind: emergency-stop, contacts: {11-12: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K1: {kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {13-14: NO, 21-22: NC}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, S1:11]}
      - {wire: 2, from: K1:2, to: E1:1}
      - {wire: 3, through: [X0:N, E1:2, K1:A2]}
      - {wire: 4, from: K1:22, to: K1:A1}
      - {wire: 5, through: [S1:12, K1:21]}
Quiet
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      S1: {kind: emergency-stop, contacts: {11-12: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K1: {kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {13-14: NO}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, S1:11]}
      - {wire: 2, from: K1:2, to: E1:1}
      - {wire: 3, through: [X0:N, E1:2, K1:A2]}
      - {wire: 4, through: [S1:12, S2:13, K1:13]}
      - {wire: 5, through: [S2:14, K1:14, K1:A1]}
Not judged
    Bounce of contacts, and times within one switching.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.findings import Signal
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="control-buzzer",
    title="Contacts never come to rest",
    signal=Signal.CAUTION,
    harm="The contacts burn within minutes and may weld while the machine is in any state.",
    sources=(("both", Source("Trade practice", "", "relay circuits", Standing.COMMON_PRACTICE)),),
)


def check(design: Design) -> Iterator[Judgement]:
    """One finding for the machine."""
    devices = tuple(device for device, word in design.unrest if word == "buzzer")
    if devices:
        yield RULE.finding(
            devices,
            f"When {' or '.join(devices)} is worked, or before, contacts of the control circuit never come to rest",
            design.place(devices[0]),
            mend=("Feed no coil through a break contact of its own device.",),
        )
