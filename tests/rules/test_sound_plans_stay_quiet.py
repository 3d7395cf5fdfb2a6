"""Sound machines that a rule once took for faulty, each beside its faulty twin: the first quiet, the second told.

What is right is trade practice and the maker's data sheet; where a standard says it, it stands beside the case.
"""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired

from wiring.plan.edits import SetValue
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


# A spindle runs down for 20 s when its power goes, and takes nothing to the bus; a stop of category 1 brakes it, and
# 0.5 x 0.01 kg·m2 x (2513 rad/s)2 = 31.6 kJ would lift 500 microfarads from 325 V to 11 kV.
@pytest.mark.parametrize(
    ("motor", "category", "told"), [("run_down: 20 s", 0, False), ("run_down: 20 s", 1, True), ("poles: 2", 0, True)]
)
def test_a_spindle_that_runs_down_lifts_no_bus(motor: str, category: int, told: bool) -> None:
    body = DRIVEN.format(earth="  - {wire: PE2, from: XPE:2, to: T1:PE, colour: GNYE}\n")
    body = body.replace("rated: 750 W}", "rated: 750 W, bus_capacitance: 500 µF, bus_limit: 420 V}")
    motor = "max_speed: 24000 rpm" if motor.startswith("poles") else f"max_speed: 24000 rpm, {motor}"
    spinning = f"rated_power: 500 W, rotor_inertia: 20 kg·cm2, load_inertia: 80 kg·cm2, {motor}}}"
    body = body.replace("rated_power: 500 W}", spinning).replace(
        "voltage: 230 V,", "voltage: 230 V, frequency: 50 Hz,", 1
    )
    delay = ", delay: 5 s" if category else ""
    states = "states: {cut: {M1: {speed: 24000 rpm, torque: 0.1 N·m}}}\n"
    stops = f"stops: {{emergency: {{devices: [S1], category: {category}{delay}}}}}\n"
    button = "  S1: {kind: emergency-stop, contacts: {11-12: NC}}\n"
    body = body.replace("parts:\n", f"{states}{stops}parts:\n{button}")
    found = fired("regeneration-too-high", design(body))
    assert bool(found) is told
    assert not any("µF" in mend for one in found for mend in one.mend)


# A contact that closes an input to the drive's own common is how most inverters are started (makers' manuals); led to
# another supply's return that is tied to nothing of the drive, it closes no circuit.
@pytest.mark.parametrize(("back", "told"), [("T1:COM", False), ("G1:V-", True)])
def test_an_input_closed_to_the_drives_own_common(back: str, told: bool) -> None:
    more = f"""  - {{wire: PE2, from: XPE:2, to: T1:PE, colour: GNYE}}
  - {{wire: 20, from: T1:DI1, to: S1:13}}
  - {{wire: 21, from: S1:14, to: "{back}"}}
  - {{wire: 22, from: X0:L, to: G1:L}}
  - {{wire: 23, from: "X0:N", to: G1:N}}
"""
    body = DRIVEN.format(earth=more).replace("rated: 750 W}", "rated: 750 W, inputs: [DI1-COM], signals: 24 V DC}")
    contacts = "  S1: {kind: push-button, contacts: {13-14: NO}}\n"
    supply = "  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A, class: II}\n"
    report = judge(design(body.replace("  M1:", f"{contacts}{supply}  M1:")))
    spoken = {one.rule for one in report.findings if {"T1", "S1", "20", "21"} & set(one.subjects)}
    assert bool(spoken & {"input-current-wrong", "circuit-never-closed", "terminal-open"}) is told, spoken


# A probe that the tool touches closes when it is reached, and is no limit of the travel; a limit must open.
@pytest.mark.parametrize(("purpose", "told"), [("probe", False), ("limit", True)])
def test_a_probe_is_no_limit(purpose: str, told: bool) -> None:
    body = f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A, class: II}}
  B1: {{kind: sensor, supply: 10..30 V DC, output: pnp NO, purpose: {purpose}}}
  A1: {{kind: io-card, inputs: {{I1: sink}}, common: 0V, input_voltage: 24 V DC}}
wires:
  - {{wire: 1, from: G1:V+, to: B1:1}}
  - {{wire: 2, from: G1:V-, to: B1:3}}
  - {{wire: 3, from: B1:4, to: A1:I1}}
  - {{wire: 4, from: G1:V-, to: A1:0V}}
"""
    assert bool(fired("limit-normally-open", design(body))) is told


# A plain diode keeps a contactor in three to five times as long (common practice): what is named against a spark is not
# told as slow once it is there.
def test_a_suppressor_that_is_named_as_a_mend_is_not_told_as_slow() -> None:
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A, class: II}
  S1: {kind: push-button, contacts: {13-14: NO}}
  K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: SORT}
wires:
  - {wire: 1, from: G1:V+, to: S1:13}
  - {wire: 2, from: S1:14, to: K1:A1}
  - {wire: 3, from: G1:V-, to: K1:A2}
"""
    [bare] = fired("coil-without-suppressor", design(body.replace("SORT", "none")))
    [edit] = bare.mends[0].edits
    assert isinstance(edit, SetValue)
    assert not fired("suppressor-too-slow", design(body.replace("SORT", str(edit.value))))
    assert fired("suppressor-too-slow", design(body.replace("SORT", "diode")))
