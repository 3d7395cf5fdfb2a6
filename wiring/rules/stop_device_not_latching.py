"""An emergency stop device springs back by itself.

A device for emergency stop stays in its stop position until someone releases it by hand (ISO 13850, 4.1.4). A
push-button or foot-switch does not. It may stop the machine in normal operation beside an emergency stop.

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      S1: {kind: push-button, contacts: {11-12: NC, 21-22: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]}
      K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      K2: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, G1:L]}
      - {wire: 2, from: K1:2, to: K2:1}
      - {wire: 3, from: K2:2, to: E1:1}
      - {wire: 4, through: [X0:N, E1:2, G1:N]}
      - {wire: PE1, from: X0:PE, to: XPE:1}
      - {wire: PE2, from: XPE:2, to: G1:PE}
      - {wire: 5, through: [G1:V+, K0:A1, K0:13, K0:23]}
      - {wire: 6, through: [XPE:3, G1:V-, K0:A2, K1:A2, K2:A2]}
      - {wire: 7, from: K0:S11, to: S1:11}
      - {wire: 8, from: S1:12, to: K0:S12}
      - {wire: 9, from: K0:S21, to: S1:21}
      - {wire: 10, from: S1:22, to: K0:S22}
      - {wire: 11, from: K0:S33, to: S2:13}
      - {wire: 12, from: S2:14, to: K1:21}
      - {wire: 13, from: K1:22, to: K2:21}
      - {wire: 14, from: K2:22, to: K0:S34}
      - {wire: 15, from: K0:14, to: K1:A1}
      - {wire: 16, from: K0:24, to: K2:A1}
Quiet
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      S1: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]}
      K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      K2: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, G1:L]}
      - {wire: 2, from: K1:2, to: K2:1}
      - {wire: 3, from: K2:2, to: E1:1}
      - {wire: 4, through: [X0:N, E1:2, G1:N]}
      - {wire: PE1, from: X0:PE, to: XPE:1}
      - {wire: PE2, from: XPE:2, to: G1:PE}
      - {wire: 5, through: [G1:V+, K0:A1, K0:13, K0:23]}
      - {wire: 6, through: [XPE:3, G1:V-, K0:A2, K1:A2, K2:A2]}
      - {wire: 7, from: K0:S11, to: S1:11}
      - {wire: 8, from: S1:12, to: K0:S12}
      - {wire: 9, from: K0:S21, to: S1:21}
      - {wire: 10, from: S1:22, to: K0:S22}
      - {wire: 11, from: K0:S33, to: S2:13}
      - {wire: 12, from: S2:14, to: K1:21}
      - {wire: 13, from: K1:22, to: K2:21}
      - {wire: 14, from: K2:22, to: K0:S34}
      - {wire: 15, from: K0:14, to: K1:A1}
      - {wire: 16, from: K0:24, to: K2:A1}
Not judged
    Guard, limit and other switches that the machine moves.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.findings import Mend, Signal
from wiring.parts.base import Part
from wiring.parts.operators import EmergencyStop
from wiring.plan.edits import Edit, SetValue
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="stop-device-not-latching",
    title="Stop device does not latch",
    signal=Signal.CAUTION,
    harm="The device lets go with the hand, and the machine can be started while the danger lasts.",
    sources=(("both", Source("ISO 13850", "2015", "4.1.4", Standing.CONFIRMED)),),
)


def _is_emergency_stop(part: Part | None) -> bool:
    return part is not None and isinstance(part.data, EmergencyStop)


def check(design: Design) -> Iterator[Judgement]:
    """One finding for each device that springs back where an emergency stop is asked for."""
    devices = {
        device: design.parts[device]
        for stop in design.plan.stops.values()
        for device in stop.devices
        if device in design.parts
    }
    for name, stop in design.plan.stops.items():
        beside = any(_is_emergency_stop(devices.get(device)) for device in stop.devices)
        if not beside and any(_is_emergency_stop(part) for part in devices.values()):
            continue
        for device in stop.devices:
            if device in devices and devices[device].data.springs_back():
                yield RULE.finding(
                    (device, name),
                    f"{device} of stop {name} is a {devices[device].kind}, which springs back when it is let go",
                    design.place(device, "kind"),
                    mend=(_latching(devices[device]),),
                )


def _latching(part: Part) -> Mend:
    """An emergency stop device with the contacts that are there, where they break."""
    words = "Use an emergency stop device: it latches, and opens its contacts by force."
    contacts = getattr(part.data, "contacts", {})
    if part.library or not contacts or any(not word.startswith("NC") for word in contacts.values()):
        return Mend(words)
    edits: list[Edit] = [SetValue(("parts", part.name, "kind"), "emergency-stop")]
    if "colour" in part.data.model_fields_set:
        edits.append(SetValue(("parts", part.name, "colour"), "RD"))
    return Mend(words, tuple(edits))
