"""First physics: a contact whose two sides are one piece of metal changes no current, and one that lies on no closed
way through something that takes a current carries none."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, folded_under
from says import assert_says

from wiring.findings import Signal

SLUG = "part-without-effect"


def machine(*ends: str, more: str = "") -> str:
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  S1: {{kind: selector, contacts: {{13-14: NO, 23-24: NO}}}}
  B1: {{kind: pressure-switch, contacts: {{1-2: NC}}}}
  F1: {{kind: motor-protector, poles: 1, setting: 3 A, magnetic: false, contacts: {{95-96: NC}}}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 5 W, contacts: {{13-14: NO}}}}
  X1: {{kind: terminals, points: 2}}
  M1: {{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 370 W}}
{more}
wires:
{lines}
"""


POWER = ["X0:L>K1:1", "K1:2>F1:1", "F1:2>M1:U1", "M1:U2>X0:N", "K1:A2>X0:N"]
CONTROL = ["X0:L>S1:13", "S1:14>B1:1", "B1:2>F1:95", "F1:96>K1:A1"]


def said(*ends: str) -> list[tuple[tuple[str, ...], Signal]]:
    return [(one.subjects, one.signal) for one in fired(SLUG, design(machine(*POWER, *ends)))]


def test_contacts_in_a_circuit_have_an_effect_and_spare_ones_may_be_without() -> None:
    assert said(*CONTROL) == []


@pytest.mark.parametrize(
    ("bridge", "subjects", "word"),
    [
        ("S1:13>S1:14", ("S1", "9"), Signal.CAUTION),
        ("B1:1>B1:2", ("B1", "9"), Signal.CAUTION),
        ("F1:95>F1:96", ("F1", "9"), Signal.WARNING),  # it protects
        ("K1:1>K1:2", ("K1", "9"), Signal.CAUTION),
    ],
)
def test_a_bridged_contact_is_told_with_its_bridge(bridge: str, subjects: tuple[str, ...], word: Signal) -> None:
    assert said(*CONTROL, bridge) == [(subjects, word)]


def test_a_part_whose_contacts_stand_in_no_circuit_is_idle() -> None:
    past = ["X0:L>S1:13", "S1:14>K1:A1"]
    assert said(*past) == [(("F1",), Signal.WARNING)]  # a pressure switch without any wire is told as unconnected
    ends = [*past, "B1:1>X1:1", "B1:2>X1:2"]
    assert (("B1",), Signal.CAUTION) in said(*ends) or folded_under(SLUG, design(machine(*POWER, *ends)))


def test_a_relay_that_switches_nothing_in_the_plan_is_a_notice() -> None:
    more = "  K2: {kind: relay, coil: 230 V AC 1 W, contacts: {13-14: NO}}"
    text = machine(*POWER, *CONTROL, "X0:L>K2:A1", "K2:A2>X0:N", more=more)
    assert [(one.subjects, one.signal) for one in fired(SLUG, design(text))] == [(("K2",), Signal.NOTICE)]


def test_a_motor_protective_switch_needs_no_contact() -> None:
    text = machine(*POWER, "X0:L>S1:13", "S1:14>K1:A1").replace("magnetic: false", "magnetic: true")
    assert fired(SLUG, design(text)) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(machine(*POWER, *CONTROL, "B1:1>B1:2")))
    assert finding.summary == "9 bridges B1:1-2: nothing changes when B1 switches"
    assert_says(finding, "CAUTION", mend="Take 9 away from B1:1-2")


def test_a_contactor_that_is_wired_by_its_auxiliary_contacts_alone_is_left_out_of_its_circuit() -> None:
    past = [end for end in POWER if "K1:" not in end or "A2" in end]
    ends = [*past, "X0:L>F1:1", *CONTROL, "X0:L>K1:13", "K1:14>B1:1"]
    [finding] = fired(SLUG, design(machine(*ends)))
    assert (finding.subjects, finding.signal) == (("K1",), Signal.CAUTION)
    assert "only 13-14" in finding.summary
