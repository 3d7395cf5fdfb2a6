"""A stop removes the power later, or sooner, than its category says.

Category 0 takes the power away at once. Category 1 keeps it until the machine stands still, for a time that an
undelayed contact does not give (IEC 60204-1, 9.2.2).

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      S1: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22],
           outputs: [33-34], delayed: [13-14, 23-24], delay: 500 ms}
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
    A stop of category 2, and a stop that leaves something fed for ever, which has a rule of its own.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.findings import Mend, Signal
from wiring.plan.edits import SetValue
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="stop-category-differs",
    title="Stop is not of the category that the plan says",
    signal=Signal.CAUTION,
    harm="Power stays on for longer than someone counts on, or a heavy axis runs out without being braked.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "9.2.2", Standing.CONFIRMED)),
        ("na", Source("NFPA 79", "2021", "9.2.2", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Iterator[Judgement]:
    """One finding for each stop whose power goes at another time than its category says."""
    for name, result in design.stop_proof.results.items():
        late = tuple(dict.fromkeys(part for sound in result.sound for part in sound.late))
        gone = any(sound.running and not sound.left for sound in result.sound)
        if result.use.category == 0 and late:
            told = f"Stop {name} is of category 0, but {', '.join(late)} lose their power only after a delay"
            mend = Mend("Take them off an undelayed contact, or write category 1 with its delay.")
        elif result.use.category == 1 and gone and not late:
            told = f"Stop {name} is of category 1, but its power goes at once, before anything could be braked"
            mend = Mend(
                "Write category 0, or feed them through delayed contacts and let an undelayed one order the stop.",
                (SetValue(("stops", name, "category"), "0"),),
            )
        else:
            continue
        yield RULE.finding((name, *late), told, design.reading.place("stops", name, "category"), mend=(mend,))
