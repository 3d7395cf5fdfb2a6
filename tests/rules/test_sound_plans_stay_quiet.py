"""Sound machines that a rule once took for faulty, each beside its faulty twin: the first quiet, the second told.

What is right is trade practice and the maker's data sheet; where a standard says it, it stands beside the case.
"""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired

from wiring.rules.run import judge


# 208Y/120: 120 V from line to neutral, 208 V between lines. An input of 100 to 120 V is made for 120 V mains.
@pytest.mark.parametrize(("back", "told"), [("X0:N", False), ("X0:L2", True)])
def test_the_top_of_an_input_range_is_inside_it(back: str, told: bool) -> None:
    body = f"""
mains: {{inlet: X0, system: three-phase, voltage: 208 V, frequency: 60 Hz, earthing: TN-C-S, fault_current: 5 kA}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  G1: {{kind: supply, input: 100..120 V AC, output: 24 V DC, rated: 5 A, class: II}}
wires:
  - {{wire: 1, from: X0:L1, to: G1:L}}
  - {{wire: 2, from: "{back}", to: G1:N}}
"""
    report = judge(design(body, "na"))
    assert report.crashed == ()
    spoken = {one.rule for one in report.findings if "G1" in one.subjects and "voltage" in one.rule}
    assert bool(spoken) is told, spoken


DRIVEN = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}}
parts:
  X0: {{kind: inlet}}
  XPE: {{kind: earth-bar, points: 4}}
  T1: {{kind: inverter, supply: 230 V AC, rated: 750 W}}
  M1: {{kind: motor, voltage: 230 V AC, phases: 3, rated_power: 500 W}}
wires:
  - {{wire: 1, from: X0:L, to: T1:L}}
  - {{wire: 2, from: "X0:N", to: T1:N}}
  - {{wire: 3, from: T1:U, to: M1:U}}
  - {{wire: 4, from: T1:V, to: M1:V}}
  - {{wire: 5, from: T1:W, to: M1:W}}
  - {{wire: PE1, from: X0:PE, to: XPE:1, colour: GNYE}}
  - {{wire: PE3, from: T1:PE, to: M1:PE, colour: GNYE}}
{earth}"""


# IEC 61800-5-1, 4.3.5.3 (from memory): a drive has a terminal for the protective conductor of its motor.
@pytest.mark.parametrize(
    ("earth", "bare"),
    [("  - {wire: PE2, from: XPE:2, to: T1:PE, colour: GNYE}\n", set()), ("", {"M1", "T1"})],
)
def test_a_motor_is_earthed_by_the_terminal_of_its_drive(earth: str, bare: set[str]) -> None:
    body = DRIVEN.format(earth=earth)
    told = {name for one in fired("earth-missing", design(body)) for name in one.subjects}
    assert told & {"M1", "T1"} == bare


# 24 V nominal less what a metre of wire takes is still 24 V: makers give a tolerance of 10 % and more.
@pytest.mark.parametrize(("rail", "runs"), [(24, True), (18, False)])
def test_a_drive_for_24_volts_runs_on_a_rail_of_24_volts(rail: int, runs: bool) -> None:
    body = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}}
states: {{on: {{M1: {{speed: 100 rpm, torque: 0.5 N·m}}}}}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: {rail} V DC, rated: 10 A, class: II}}
  D1: {{kind: stepper-drive, supply: 24 V DC, phase_current: 4.2 A peak}}
  M1: {{kind: stepper-motor, phase_current: 4.2 A peak, phase_resistance: 0.75 ohm, metal: false}}
wires:
  - {{wire: a, from: X0:L, to: G1:L}}
  - {{wire: b, from: "X0:N", to: G1:N}}
  - {{wire: 1, from: G1:V+, to: D1:V+, size: 1 mm2, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: D1:V-, size: 1 mm2, length: 1 m}}
  - {{wire: 4, from: D1:A+, to: M1:A+, size: 1 mm2, length: 1 m}}
  - {{wire: 5, from: D1:A-, to: M1:A-, size: 1 mm2, length: 1 m}}
  - {{wire: 6, from: D1:B+, to: M1:B+, size: 1 mm2, length: 1 m}}
  - {{wire: 7, from: D1:B-, to: M1:B-, size: 1 mm2, length: 1 m}}
"""
    made = design(body)
    assert bool(fired("drive-voltage-outside-window", made)) is not runs
    point = made.operation.loaded["on"]
    assert (abs(point.path_current("DC").get("1", 0.0)) > 0.05) is runs
