"""A temperature that a control keeps reaches a cut-out that stands no higher (an inequality, no source needed)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "cut-out-below-control"
HEAT = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: thermal-cut-out, contacts: {{11-12: NC}}, opens_at: {opens}, protects: E1}}
  B1: {{kind: thermostat, contacts: {{1-2: NC}}, switches_at: 80 °C, purpose: heating}}
  E1: {{kind: heater, rated: 230 V AC 500 W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:11}}
  - {{wire: 2, from: F1:12, to: B1:1}}
  - {{wire: 3, from: B1:2, to: E1:1}}
  - {{wire: 4, from: X0:N, to: E1:2}}
"""


@pytest.mark.parametrize(("opens", "told"), [("60 °C", True), ("80 °C", True), ("81 °C", False), ("176 °F", True)])
def test_where_it_opens(opens: str, told: bool) -> None:
    assert bool(fired(SLUG, design(HEAT.format(opens=opens)))) == told


def test_what_it_says() -> None:
    """The cut-out of this plan opens at 60 °C."""
    [finding] = fired(SLUG, design(HEAT.format(opens="60 °C")))
    assert finding.subjects == ("F1", "B1")
    assert_says(finding, "CAUTION", number=("opens at", 60.0, "°C"), mend="well above 80 °C")


@pytest.mark.parametrize("between", [False, True])
@pytest.mark.parametrize(("keeps", "told", "asked"), [(", keeps: 180 °C", 1, 0), (", keeps: 120 °C", 0, 0), ("", 0, 1)])
def test_a_temperature_controller_keeps_what_it_is_set_to(keeps: str, told: int, asked: int, *, between: bool) -> None:
    """The cut-out opens at 150 °C, ahead of the semiconductor relay that the controller drives, by a contact too."""
    pulses = "S1:13" if between else "V1:A1"
    plan = design(f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz}}
parts:
  X0: {{kind: inlet, rated: 16 A}}
  F9: {{kind: thermal-cut-out, contacts: {{1-2: NC}}, protects: E1, opens_at: 150 °C, reset: manual}}
  V1: {{kind: solid-state-relay, control: 4..32 V DC, rated: 25 A, rated_voltage: 280 V AC}}
  N1: {{kind: temperature-controller, supply: 230 V AC 5 VA, outputs: {{P+-P-: pulse 12 V}}{keeps}}}
  S1: {{kind: selector, contacts: {{13-14: NO}}}}
  E1: {{kind: heater, rated: 230 V AC 600 W, metal: false}}
states: {{work: {{S1: worked}}}}
wires:
  - {{wire: 1, through: [X0:L, F9:1, N1:L]}}
  - {{wire: 2, from: F9:2, to: V1:1}}
  - {{wire: 3, from: V1:2, to: E1:1}}
  - {{wire: 4, through: [X0:N, E1:2, N1:N]}}
  - {{wire: 5, from: N1:P+, to: {pulses}}}
  - {{wire: 7, from: S1:14, to: V1:A1}}
  - {{wire: 6, from: N1:P-, to: V1:A2}}
""")
    assert len(fired(SLUG, plan)) == told
    assert ["N1" in one.subjects for one in open_questions(SLUG, plan)] == [True] * asked
