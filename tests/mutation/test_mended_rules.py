"""Limits of six rules that mutants showed to be blind, by hand."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from mutants import all_mutants, answer

LOGIC = """
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 5 A}}
  A1: {{kind: io-card, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 100 mA}}, inputs: {{I1: sink}}}}
wires:
  - {{wire: 1, from: G1:V+, to: A1:24V, size: 1.5 mm2, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: A1:0V, size: 1.5 mm2, length: 1 m}}
"""
SENSOR = """
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  A1: {{kind: io-card, inputs: {{I1: sink}}, input_type: 3, input_voltage: 24 V DC, common: COM}}
  B1: {{kind: sensor, supply: 10..30 V DC, output: pnp NO, leakage: {leakage}, drop: {drop}}}
wires:
  - {{wire: 1, from: G1:V+, to: "B1:1"}}
  - {{wire: 2, from: "B1:4", to: A1:I1}}
  - {{wire: 3, through: [G1:V-, A1:COM, "B1:3"]}}
"""
RELAY = """
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  A1: {{kind: controller, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 100 mA}}, outputs: {{O1: pnp}},
       output_current: 0.5 A, boot: "off"}}
  K1: {{kind: relay, coil: 24 V DC 0.5 W, suppressor: diode, contacts: {{11-12: {contact}}}}}
  E1: {{kind: valve, rated: 24 V DC 5 W, suppressor: diode}}
wires:
  - {{wire: 1, through: [G1:V+, A1:24V, "K1:11"]}}
  - {{wire: 2, through: [G1:V-, A1:0V, K1:A2, "E1:2"]}}
  - {{wire: 3, from: A1:O1, to: K1:A1}}
  - {{wire: 4, from: "K1:12", to: "E1:1"}}
"""


@pytest.mark.parametrize(("volts", "fires"), [(20.6, False), (20.2, True)])
def test_logic_works_down_to_fifteen_per_cent_below(volts: float, fires: bool) -> None:
    """0.85 * 24 V = 20.4 V (IEC 61131-2, supply of 24 V DC, from memory); 2 m of 1.5 mm2 lose 3 mV at 0.1 A."""
    assert bool(fired("load-undervoltage", design(LOGIC.format(volts=volts)))) is fires


@pytest.mark.parametrize(
    ("leakage", "drop", "fires"),
    [("1.5 mA", "1.5 V", False), ("1.6 mA", "1.5 V", True), ("0.1 mA", "13 V", False), ("0.1 mA", "13.1 V", True)],
)
def test_three_wires_leak_and_drop_too(leakage: str, drop: str, fires: bool) -> None:
    """Type 3 of IEC 61131-2: off up to 1.5 mA, on from 11 V, and 24 V - 13 V = 11 V."""
    assert bool(fired("two-wire-leakage", design(SENSOR.format(leakage=leakage, drop=drop)))) is fires


@pytest.mark.parametrize(("contact", "fires"), [("NO", False), ("NC", True)])
def test_a_break_contact_starts_the_valve_while_the_card_is_off(contact: str, fires: bool) -> None:
    """Common practice, no source: a relay at rest must leave the valve closed."""
    assert bool(fired("boot-state-unsafe", design(RELAY.format(contact=contact)))) is fires


MOTOR = """
parts:
  D1: {{kind: stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak}}
  M1: {{kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm}}
wires:
  - {{wire: 1, from: "D1:A+", to: "M1:{0}"}}
  - {{wire: 2, from: "D1:A-", to: "M1:{1}"}}
  - {{wire: 3, from: "D1:B+", to: "M1:{2}"}}
  - {{wire: 4, from: "D1:B-", to: "M1:{3}"}}
"""


@pytest.mark.parametrize(
    ("ends", "fires"),
    [("A+ A- B+ B-", 0), ("A- A+ B+ B-", 0), ("B+ B- A+ A-", 0), ("B+ A- A+ B-", 1), ("A+ B+ A- B-", 1)],
)
def test_each_winding_hangs_on_one_phase(ends: str, fires: int) -> None:
    """A bridge drives one winding; turning one round, or changing both over, only turns the motor the other way."""
    assert len(fired("polarity-reversed", design(MOTOR.format(*ends.split())))) == fires


def test_a_device_that_opens_one_channel_of_two_is_told_in_every_plan() -> None:
    """Two channels are there so that one may fail (ISO 13849-1, 6.2.6, from memory): both must hear the device."""
    bridged = {m.machine.name: m for m in all_mutants() if m.way.name == "stop contact bridged"}
    assert len(bridged) >= 4
    assert [name for name, mutant in bridged.items() if "stop-contact-bypassed" not in answer(mutant).loud] == []


def test_a_contact_in_the_reset_loop_that_is_no_mirror_contact_is_told_in_every_plan() -> None:
    """IEC 60947-4-1, annex F (from memory): only a mirror contact is sure to stay open over a welded pole."""
    unmarked = {m.machine.name: m for m in all_mutants() if m.way.name == "auxiliary contact is no mirror contact"}
    assert len(unmarked) >= 4
    assert [name for name, mutant in unmarked.items() if "stop-feedback-missing" not in answer(mutant).loud] == []
