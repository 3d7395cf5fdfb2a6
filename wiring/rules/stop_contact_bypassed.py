"""A contact that stops or limits opens nothing, because its ends stay joined without it.

A wire from one end of a contact to the other, or a second closed contact beside it, keeps the circuit closed when the
contact opens. The machine works as before, and whoever trusts the contact is not told. Judged are the break contacts of
stop devices, guard switches and limits, and the outputs of safety relays: of two outputs one is then lost, and with it
the second way to stop.

Fires
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
      - {wire: 17, from: S1:11, to: S1:12}
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
    Sensors whose purpose the plan does not give (`purpose: limit`), and what a program makes of its inputs.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.bypasses import Bypass, bypasses
from wiring.design.design import Design
from wiring.findings import Cause, Mend, Signal
from wiring.plan.source import Place
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.causes import scope
from wiring.rules.mend import taken_away
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="stop-contact-bypassed",
    title="A contact that stops or limits opens nothing",
    signal=Signal.WARNING,
    harm="The device is worked and nothing hears it, or one of two ways to stop is gone before the other one fails.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "9.4.2.3", Standing.FROM_MEMORY)),
        ("na", Source("NFPA 79", "2021", "9.4.1", Standing.FROM_MEMORY)),
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


def check(design: Design) -> Iterator[Judgement]:
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
