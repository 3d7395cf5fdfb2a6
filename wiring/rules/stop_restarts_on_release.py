"""The machine starts again when the stop device is released.

Unlatching a stop device must only permit a restart; starting is an act of its own (ISO 13850, 4.1.4).

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      S1: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}
      K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22],
           reset_mode: automatic, outputs: [13-14, 23-24]}
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
      - {wire: 11, from: K0:S33, to: K1:21}
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
    A stop whose devices leave a hazard alive: there is nothing that could start again.
    What the reset of a unit starts by itself: whether it may is asked.
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
            f"{', '.join(alive)} {'starts' if len(alive) == 1 else 'start'} again as soon as {' or '.join(devices)} "
            "is released, without a reset",
            design.reading.place("stops", name),
            because=tuple(Cause(design.place(part), "starts again") for part in alive),
            mend=("Seal the contactor in behind a reset button, or use a safety relay with a monitored reset.",),
        )
    yield from _by_reset(design)


def _by_reset(design: Design) -> Iterator[Judgement]:
    """What the reset of a unit starts with nothing else pressed: only who stands there can say whether it may."""
    for name, result in design.stop_proof.results.items():
        started = tuple(dict.fromkeys(part for sound in result.sound for part in sound.on_reset))
        if started:
            yield RULE.not_judged(
                (*started, name),
                f"whether the reset may start {', '.join(started)} by itself, with no start of its own after it "
                "(ISO 13849-1, 5.2.2)",
                design.reading.place("stops", name),
            )
