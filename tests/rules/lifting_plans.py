"""Small plans of one load that hangs: every way of feeding its motor, with a brake fed as the test says."""

from __future__ import annotations

from collections.abc import Mapping

from helpers import design

from wiring.design.design import Design

_PARTS = """
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
  S1: {kind: emergency-stop, contacts: {11-12: NC direct, 21-22: NC direct}}
  S3: {kind: push-button, contacts: {13-14: NO}}
  S5: {kind: push-button, contacts: {13-14: NO, 23-24: NO}BUTTONS}
  S6: {kind: push-button, contacts: {13-14: NO, 23-24: NO}BUTTONS}
  K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24, 33-34],
       delayed: [37-38], delay: 0.5 s}
  K1: {kind: contactor, poles: 3, coil: 24 V DC 3 W, contacts: {13-14: NO, 21-22: NC}, interlock: K2}
  K2: {kind: contactor, poles: 3, coil: 24 V DC 3 W, contacts: {13-14: NO, 21-22: NC}, interlock: K1}
  K4: {kind: relay, coil: 24 V DC 0.6 W, contacts: {11-14: NO, 21-24: NO}}
  A1: {kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 100 mA}, outputs: {Q1: pnp, Q2: pnp},
       inputs: {I1: sink, I2: sink}, common: 0V}
"""
_STOP = """X0:L1>G1:L X0:N>G1:N G1:V+>K0:A1 K0:A2>G1:V- K0:S11>S1:11 S1:12>K0:S12 K0:S21>S1:21 S1:22>K0:S22
    K0:S33>S3:13 S3:14>K0:S34 G1:V+>K0:13 G1:V+>K0:23 G1:V+>K0:33 G1:V+>K0:37 G1:V+>A1:24V A1:0V>G1:V- K4:A2>G1:V-
    A1:Q2>K4:A1"""
#: Up and down by two contactors, each through the break contact of the other, while a button is held.
_TWO_WAYS = "K0:14>S5:13 K0:14>S6:13 S5:14>K2:21 K2:22>K1:A1 S6:14>K1:21 K1:22>K2:A1 K1:A2>G1:V- K2:A2>G1:V-"
_STO = "K0:14>T1:STO1 K0:24>T1:STO2 T1:SG1>G1:V- T1:SG2>G1:V- A1:Q1>T1:RUN T1:COM>G1:V-"
_TURNS = "T1:U>M1:U T1:V>M1:V T1:W>M1:W"
#: By the way of feeding it: the parts of the motor, its conductors, and what its states work.
MOTORS: dict[str, tuple[str, str, str]] = {
    "DC": (
        "M1: {kind: motor, voltage: 24 V DC, rated_power: 120 W, metal: false, VERTICAL}",
        f"{_TWO_WAYS} G1:V+>K1:1 G1:V+>K2:1 G1:V->K1:3 G1:V->K2:3 K1:2>M1:A1 K1:4>M1:A2 K2:2>M1:A2 K2:4>M1:A1",
        "up: {M1: run, S5: worked}, down: {M1: run, S6: worked}",
    ),
    "one phase": (
        "M1: {kind: motor, voltage: 230 V AC, phases: 1, rated_power: 200 W, metal: false, VERTICAL}",
        f"{_TWO_WAYS} X0:L1>K1:1 X0:N>K1:3 K1:2>M1:U1 K1:4>M1:U2",
        "up: {M1: run, S5: worked}",
    ),
    "three phases": (
        "M1: {kind: motor, voltage: 400 V AC, rated_power: 550 W, metal: false, VERTICAL}",
        f"{_TWO_WAYS} X0:L1>K1:1 X0:L2>K1:3 X0:L3>K1:5 X0:L2>K2:1 X0:L1>K2:3 X0:L3>K2:5 "
        "K1:2>M1:U K1:4>M1:V K1:6>M1:W K2:2>M1:U K2:4>M1:V K2:6>M1:W",
        "up: {M1: run, S5: worked}, down: {M1: run, S6: worked}",
    ),
    "inverter": (
        "T1: {kind: inverter, supply: 380..480 V AC, rated: 750 W, signals: 24 V DC, sto: [STO1-SG1, STO2-SG2], "
        "inputs: [RUN-COM], functions: {RUN: run}, relay: 13-14, metal: falseDRIVE}\n"
        "  M1: {kind: motor, voltage: 400 V AC, rated_power: 550 W, metal: false, VERTICAL}",
        f"{_STO} {_TURNS} X0:L1>T1:L1 X0:L2>T1:L2 X0:L3>T1:L3",
        "up: {M1: run}",
    ),
    "servo": (
        "T1: {kind: servo-drive, supply: 200..240 V AC, signals: 24 V DC, sto: [STO1-SG1, STO2-SG2], "
        "inputs: [RUN-COM], functions: {RUN: enable}, metal: falseDRIVE}\n"
        "  M1: {kind: servo-motor, rated_power: 400 W, metal: false, VERTICAL}",
        f"{_STO} {_TURNS} X0:L1>T1:L X0:N>T1:N",
        "up: {M1: run}",
    ),
    "stepper": (
        "T1: {kind: stepper-drive, supply: 20..50 V DC, phase_current: 4 A peak, metal: falseDRIVE}\n"
        "  M1: {kind: stepper-motor, phase_current: 4 A peak, metal: false, VERTICAL}",
        "K0:14>K1:A1 K1:A2>G1:V- G1:V+>K1:1 K1:2>T1:V+ T1:V->G1:V- "
        "T1:A+>M1:A+ T1:A->M1:A- T1:B+>M1:B+ T1:B->M1:B-",
        "up: {M1: run}",
    ),
}  # fmt: skip
#: The brake over an auxiliary contact of every contactor of the motor, or over a relay that follows the drive's program
#: and that the stop relay feeds: with the torque in every state, and gone with it.
OWN_CONTACTS = "G1:V+>K1:13 G1:V+>K2:13 K1:14>Y1:A1 K2:14>Y1:A1 Y1:A2>G1:V-"
BEHIND_STOP = "K0:34>K4:11 K4:14>Y1:A1 Y1:A2>G1:V-"


def lifting(
    fed: str,
    brake: str,
    ends: str,
    *,
    vertical: str = "vertical: true",
    drive: str = "",
    buttons: str = "",
    more: str = "",
    states: str = "",
    feeds: Mapping[str, str] | None = None,
    book: str = "iec",
) -> Design:
    """A motor that is `fed` in one of the `MOTORS` ways, with a brake of some keys between some ends.

    `ends` are conductors, `A>B` each; `more` are lines of further parts, `drive` more keys of its drive and `buttons`
    of the two buttons, `feeds` what stands in place of some conductors of the motor.
    """
    motor, feed, run = MOTORS[fed]
    for old, new in (feeds or {}).items():
        assert old in feed, old
        feed = feed.replace(old, new)
    if "functions:" in drive:
        motor = motor.replace("functions: {RUN: enable}, ", "")
    pairs = [pair.split(">") for pair in f"{_STOP} {feed} {ends}".split()]
    wires = "\n".join(f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(pairs, 1))
    return design(
        "mains: {inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S, fault_current: 1 kA}\n"
        f"states: {{{states or run}}}\n"
        "stops: {emergency: {devices: [S1], category: 0, reset: S3, removes: hazards}}\n"
        f"parts:{_PARTS.replace('BUTTONS', buttons)}  {motor.replace('VERTICAL', vertical).replace('DRIVE', drive)}\n"
        f"  Y1: {{kind: brake, holds: M1, {brake}}}\n{more}\n"
        f"wires:\n{wires}\n",
        book,
    )
