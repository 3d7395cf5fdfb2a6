"""Whatever a state runs or switches on and nothing feeds there is told, or its start is played; derived by hand."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions, results
from says import assert_says

from wiring.findings import Finding, Signal

SLUG = "state-not-fed"


def starter(*, seal: bool, operator: str = "push-button", states: str = "run: {M1: run}", lock: bool = False) -> str:
    """A motor on a contactor with a start button; `lock` puts a break contact of its own into its coil circuit."""
    ends = ["X0:L>S1:13", "K1:A2>X0:N", "X0:L>K1:1", "K1:2>M1:U1", "M1:U2>X0:N", "X0:PE>M1:PE"]
    ends += ["S1:14>K1:21", "K1:22>K1:A1"] if lock else ["S1:14>K1:A1"]
    ends += ["X0:L>K1:13", "K1:14>S1:14"] if seal else []
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
states: {{{states}}}
parts:
  X0: {{kind: inlet}}
  S1: {{kind: {operator}, contacts: {{13-14: NO}}}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {{13-14: NO, 21-22: NC}}}}
  M1: {{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 370 W}}
wires:
{lines}
"""


def signals(text: str) -> list[str]:
    return [one.signal for one in results(SLUG, design(text)) if isinstance(one, Finding)]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (starter(seal=True), []),  # a state is that of the running machine: the seal holds
        (starter(seal=False), [Signal.NOTICE]),  # the button is played
        (starter(seal=False, states="run: {M1: run, S1: worked}"), []),
        (starter(seal=False, operator="pressure-switch"), [Signal.CAUTION]),  # no hand works it
        (starter(seal=False, operator="pressure-switch", states="run: {M1: run, S1: worked}"), []),
        (starter(seal=False, operator="pressure-switch", states='rest: {M1: "off"}'), []),
    ],
)
def test_a_start_is_played_and_what_no_hand_starts_is_told(text: str, said: list[str]) -> None:
    assert signals(text) == said


def test_the_motor_runs_in_the_state_whose_start_is_played() -> None:
    """370 W at the usual 75 % and a power factor of 0.8 draw 370 / 0.75 / 0.8 / 230 V, 2.7 A."""
    plan = design(starter(seal=False))
    amps = abs(plan.states["run"].path_current("AC")["K1:1-2"])
    assert amps == pytest.approx(370 / 0.75 / 0.8 / 230, rel=0.02)


def test_a_button_is_played_though_it_feeds_what_the_state_turns_off() -> None:
    text = starter(seal=False, states='run: {M1: run, E1: "off"}').replace(
        "  M1:", "  E1: {kind: heater, rated: 230 V AC 100 W, metal: false}\n  M1:"
    )
    beside = text.replace(
        "wires:\n", "wires:\n  - {wire: 90, from: 'K1:2', to: 'E1:1'}\n  - {wire: 91, from: 'E1:2', to: 'X0:N'}\n"
    )
    assert signals(beside) == [Signal.NOTICE]  # what is off takes nothing, whatever its contactor does


def test_a_motor_without_a_drive_is_told() -> None:
    text = """mains: {inlet: X0, system: single-phase, voltage: 230 V}
states: {run: {M1: run}}
parts:
  X0: {kind: inlet}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  M1: {kind: stepper-motor, phase_current: 2 A peak}
wires:
  - {wire: 1, from: X0:L, to: G1:L}
  - {wire: 2, from: X0:N, to: G1:N}
"""
    assert signals(text) == [Signal.CAUTION]


def test_a_motor_that_no_state_names_and_none_feeds_is_asked() -> None:
    text = starter(seal=False, operator="pressure-switch", states='rest: {K1: "off"}')
    assert [one.subjects for one in open_questions(SLUG, design(text))] == [("M1",)]


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(starter(seal=False, operator="pressure-switch")))
    assert finding.subjects == ("M1", "run")
    assert_says(finding, "CAUTION", mend="where the way from the source to M1 is open: S1:13-14 stands open then")
    assert "Is it right that S1 stands worked all through run?" in finding.mend[1]


def test_a_contact_of_the_wrong_kind_is_named_first_and_the_state_is_only_asked_about() -> None:
    """A heater runs cold: its thermostat must break when warm, and a make contact never lets it start."""
    text = """mains: {inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}
states: {heating: {E1: on}}
parts:
  X0: {kind: inlet}
  B1: {kind: thermostat, contacts: {1-2: NO}}
  B2: {kind: thermostat, contacts: {1-2: NC}}
  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
wires:
  - {wire: 1, from: X0:L, to: B1:1}
  - {wire: 2, from: B1:2, to: B2:1}
  - {wire: 3, from: B2:2, to: E1:1}
  - {wire: 4, from: E1:2, to: X0:N}
"""
    [finding] = fired(SLUG, design(text))
    first, then = finding.mends
    assert "B1:1-2 stands open" in first.words
    assert "B2" not in first.words
    assert then.words.startswith("Is it right that B1")
    assert not first.edits
    assert not then.edits


def test_a_heater_that_is_off_in_one_state_is_on_in_the_others() -> None:
    """A load that a state does not name is on there; the heater hangs on one pole alone."""
    text = starter(seal=True, states='run: {M1: run}, idle: {M1: "off", E1: "off"}')
    text = text.replace("  M1: {", "  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}\n  M1: {")
    text += "  - {wire: 90, from: 'X0:L', to: 'E1:1'}\n"
    found = [one for one in results(SLUG, design(text)) if isinstance(one, Finding)]
    assert [one.subjects for one in found] == [("E1", "run")]
