"""The machine starts again when the stop device is released.

Unlatching a stop device must only permit a restart; starting is an act of its own (ISO 13850, 4.1.4).

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
      - {wire: 1, through: [X0:L, K1:1, S1:11]}
      - {wire: 2, from: K1:2, to: E1:1}
      - {wire: 3, through: [X0:N, E1:2, K1:A2]}
      - {wire: 4, from: S1:12, to: K1:A1}
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
    A stop whose devices leave a hazard alive: there is nothing that could start again.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.findings import Cause, Signal
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="stop-restarts-on-release",
    title="Releasing the stop starts the machine",
    signal=Signal.WARNING,
    harm="Someone releases the stop while a hand is still in the machine.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "9.2.3.4.2", Standing.FROM_MEMORY)),
        ("na", Source("NFPA 79", "2021", "9.2.3.4.2", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Iterator[Judgement]:
    """One finding for each stop."""
    for name, result in design.stop_proof.results.items():
        found = [sound for sound in result.sound if sound.on_release]
        if not found:
            continue
        devices = tuple(sound.device for sound in found)
        alive = tuple(dict.fromkeys(part for sound in found for part in sound.on_release))
        yield RULE.finding(
            (*devices, name),
            f"{', '.join(alive)} start again as soon as {' or '.join(devices)} is released, without a reset",
            design.reading.place("stops", name),
            because=tuple(Cause(design.place(part), "starts again") for part in alive),
            mend=("Seal the contactor in behind a reset button, or use a safety relay with a monitored reset.",),
        )
