"""An earth fault alone defeats a stop.

The contact of the stop stands between a coil and the earthed side of its supply, or the circuit hangs on earth in
another way: a conductor that touches earth then takes the place of the contact. With one side of the control supply
earthed, every coil returns straight to that side and every contact stands on the other (IEC 60204-1, 9.4.3.1).

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      S1: {kind: emergency-stop, contacts: {11-12: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K1: {kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {13-14: NO}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, S2:13, K1:13]}
      - {wire: 2, from: K1:2, to: E1:1}
      - {wire: 3, through: [X0:N, E1:2, S1:11]}
      - {wire: 4, from: S1:12, to: K1:A2}
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
    Two earth faults at once in a supply without earth; the stop proof lists them as a hidden fault and its next.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.findings import Cause, Signal
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="stop-contact-on-earthed-side",
    title="An earth fault takes the place of the stop contact",
    signal=Signal.WARNING,
    harm="A chafed wire touches the frame, the machine runs on as before, and the stop no longer stops it.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "9.4.3.1.2", Standing.FROM_MEMORY)),
        ("na", Source("NFPA 79", "2021", "9.4.3.1", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Iterator[Judgement]:
    """One finding for each stop that an earth fault defeats."""
    for name, result in design.stop_proof.results.items():
        found = [one for one in result.dangerous if one.fault.kind == "earth"]
        if not found:
            continue
        wires = tuple(dict.fromkeys(one.fault.subjects[0] for one in found))
        alive = tuple(dict.fromkeys(part for one in found for part in one.alive))
        yield RULE.finding(
            (*wires, name),
            f"When {found[0].fault.words}, stop {name} leaves {', '.join(alive)} fed",
            design.circuit.conductor[wires[0]].place,
            because=tuple(Cause(design.circuit.conductor[wire].place, "the same holds here") for wire in wires[1:]),
            mend=("Put the contacts on the other side of the coils: every coil returns straight to the earthed side.",),
        )
