"""An emergency stop device springs back by itself.

A device for emergency stop stays in its stop position until someone releases it by hand (ISO 13850, 4.1.4). A
push-button or foot-switch does not. It may stop the machine in normal operation beside an emergency stop.

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      S1: {kind: push-button, contacts: {11-12: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K1: {kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {13-14: NO}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, S1:11]}
      - {wire: 2, from: K1:2, to: E1:1}
      - {wire: 3, through: [X0:N, E1:2, K1:A2]}
      - {wire: 4, through: [S1:12, S2:13, K1:13]}
      - {wire: 5, through: [S2:14, K1:14, K1:A1]}
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
    Guard, limit and other switches that the machine moves.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.findings import Signal
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="stop-device-not-latching",
    title="Stop device does not latch",
    signal=Signal.CAUTION,
    harm="The device lets go with the hand, and the machine can be started while the danger lasts.",
    sources=(("both", Source("ISO 13850", "2015", "4.1.4", Standing.CONFIRMED)),),
)
_SPRING_BACK = ("push-button", "foot-switch")


def check(design: Design) -> Iterator[Judgement]:
    """One finding for each device that springs back where an emergency stop is asked for."""
    kinds = {
        device: design.parts[device].kind
        for stop in design.plan.stops.values()
        for device in stop.devices
        if device in design.parts
    }
    for name, stop in design.plan.stops.items():
        beside = any(kinds.get(device) == "emergency-stop" for device in stop.devices)
        if not beside and "emergency-stop" in kinds.values():
            continue
        for device in stop.devices:
            if kinds.get(device) in _SPRING_BACK:
                yield RULE.finding(
                    (device, name),
                    f"{device} of stop {name} is a {kinds[device]}, which springs back when it is let go",
                    design.place(device, "kind"),
                    mend=("Use an emergency stop device: it latches, and opens its contacts by force.",),
                )
