"""Mistakes whose consequences were told in place of themselves: the first word is about the mistake, the rest folds."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design

from wiring.findings import Finding, Report, Signal
from wiring.rules.run import judge

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

DRIVEN = """mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
states: {{on: {{M1: run, M2: run}}}}
parts:
  X0: {{kind: inlet}}
  Q1: {{kind: disconnector, poles: 2}}
  F1: {{kind: breaker, poles: 2, rating: 6 A, curve: C, breaking: 6 kA}}
  F2: {{kind: breaker, rating: 6 A, curve: C, breaking: 6 kA}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 3 W}}
  T1: {{kind: inverter, supply: 230 V AC, rated: 750 W}}
  M1: {{kind: motor, voltage: 230 V AC, rated_power: 500 W, metal: false}}
  M2: {{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 250 W, metal: false}}
wires:
  - {{wire: 1, through: [X0:L, Q1:1]}}
  - {{wire: 2, through: ["X0:N", Q1:3]}}
  - {{wire: 3, through: [Q1:2, F1:1, F2:1]}}
  - {{wire: 4, through: [Q1:4, F1:3, M2:U2, K1:A2]}}
  - {{wire: 5, from: F1:2, to: "T1:{line}"}}
  - {{wire: 6, from: F1:4, to: "T1:{neutral}"}}
  - {{wire: 7, from: F2:2, to: K1:1}}
  - {{wire: 8, from: K1:2, to: M2:U1}}
  - {{wire: 9, from: F2:2, to: K1:A1}}
  - {{wire: 10, from: T1:U, to: M1:U}}
  - {{wire: 11, from: T1:V, to: M1:V}}
  - {{wire: 12, from: T1:W, to: M1:W}}
{more}
"""


def loud(report: Report) -> list[Finding]:
    """What is told above a notice and follows from nothing."""
    return [one for one in report.roots if one.signal is not Signal.NOTICE]


def about(report: Report, *names: str) -> set[str]:
    return {one.rule for one in loud(report) if set(names) & set(one.subjects)}


@pytest.mark.parametrize(("line", "neutral"), [("U", "N"), ("U", "V")])
def test_mains_on_the_output_of_an_inverter_is_one_finding(line: str, neutral: str) -> None:
    report = judge(design(DRIVEN.format(line=line, neutral=neutral, more="")))
    assert "drive-fed-at-its-output" in about(report, "T1")
    assert not {"motor-switched-while-driven", "drive-too-small-for-motor", "state-not-fed"} & about(report, "T1", "M1")
    assert not [one for one in report.findings if one.rule == "motor-switched-while-driven"]  # M2 is not the drive's


def test_a_line_on_the_case_of_an_inverter_says_that_the_case_is_live() -> None:
    [told] = [
        one for one in loud(judge(design(DRIVEN.format(line="PE", neutral="N", more="")))) if "T1" in one.subjects
    ]
    assert told.rule == "line-on-earth"
    assert told.signal is Signal.DANGER


def test_mains_on_a_drive_for_direct_current_is_a_warning() -> None:
    text = DRIVEN.format(line="L", neutral="N", more="").replace(
        "kind: inverter, supply: 230 V AC, rated: 750 W",
        "kind: stepper-drive, supply: 24..80 V DC, phase_current: 3 A peak",
    )
    text = text.replace("T1:L", "T1:V+").replace("T1:N", "T1:V-")
    text = "\n".join(line for line in text.splitlines() if "M1:" not in line or "kind" in line).replace("M1: run, ", "")
    [told] = [one for one in loud(judge(design(text))) if one.rule == "drive-voltage-outside-window"]
    assert told.signal is Signal.WARNING


def test_a_bridged_stop_button_is_told_as_itself_and_not_as_its_cores() -> None:
    text = two_channels(reset="automatic") + "  - {wire: 99, from: S1:11, to: S1:12}\n"
    [root] = [one for one in loud(judge(design(_before_cables(text)))) if {"S1", "99"} & set(one.subjects)]
    assert root.rule == "stop-contact-bypassed"


def _before_cables(text: str) -> str:
    """The plan with its last line put at the end of the wires, where cables follow them."""
    *lines, last = text.rstrip("\n").split("\n")
    place = next((n for n, line in enumerate(lines) if line.startswith("cables:")), len(lines))
    return "\n".join([*lines[:place], last, *lines[place:]]) + "\n"


def test_a_bridged_reset_is_told_as_itself() -> None:
    text = _before_cables(two_channels() + "  - {wire: 99, from: S2:13, to: S2:14}\n")
    told = loud(judge(design(text)))
    assert "stop-reset-bridged" in {one.rule for one in told}
    assert "stop-feedback-missing" not in {one.rule for one in told}


def test_a_return_through_the_earth_is_no_open_circuit() -> None:
    text = DRIVEN.format(line="L", neutral="N", more="  - {wire: 13, from: XPE:1, to: X0:PE}").replace(
        "through: [Q1:4, F1:3, M2:U2, K1:A2]", "through: [Q1:4, F1:3, K1:A2]"
    )
    text = (
        text.replace("  M2:", "  XPE: {kind: earth-bar, points: 4}\n  M2:") + "  - {wire: 14, from: M2:U2, to: XPE:2}\n"
    )
    report = judge(design(text))
    assert "earth-carries-current" in about(report, "M2")
    assert "circuit-never-closed" not in about(report, "M2")
