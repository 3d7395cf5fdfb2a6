"""The most an input bears: 30 V for one of 24 V (IEC 61131-2), in proportion for others."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "input-voltage-too-high"


def card(rail: float, rated: str = "input_voltage: 24 V DC, ", series: float | None = None, mark: str = "") -> str:
    resistor = f"\n  R1: {{kind: resistor, resistance: {series} ohm}}" if series else ""
    way = (
        "- {wire: 2, from: S1:14, to: 'R1:1'}\n  - {wire: 4, from: 'R1:2', to: A1:I1}"
        if series
        else "- {wire: 2, from: S1:14, to: A1:I1}"
    )
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {rail} V DC, rated: 5 A}}
  A1: {{kind: io-card, inputs: {{I1: sink}}, input_type: 3, {rated}input_current: 5 mA, common: COM}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}{resistor}
wires:
  - {{wire: 1, from: 'G1:V+', to: S1:13}}
  {way}{mark}
  - {{wire: 3, from: A1:COM, to: 'G1:V-'}}
"""


def test_24_volts_on_a_5_volt_card() -> None:
    assert_marked(card(24.0, "input_voltage: 5 V DC, ", mark="   #! input-voltage-too-high"))


def test_the_bus_on_a_24_volt_card() -> None:
    assert_marked(card(48.0, mark="   #! input-voltage-too-high"))


@pytest.mark.parametrize(
    ("rail", "rated", "fires"),
    [(30.0, 24, False), (30.1, 24, True), (6.2, 5, False), (6.3, 5, True), (15.0, 12, False), (15.1, 12, True)],
)
def test_the_limit(rail: float, rated: int, fires: bool) -> None:
    """IEC 61131-2: 30 V for 24 V, so 6.25 V for 5 V and 15 V for 12 V in proportion."""
    assert bool(fired(SLUG, design(card(rail, f"input_voltage: {rated} V DC, ")))) is fires


def test_a_series_resistor_divides() -> None:
    """The input is 24 V / 5 mA = 4.8 kohm: 48 V through 4.8 kohm leave 24 V, through 1 kohm 39.7 V."""
    assert fired(SLUG, design(card(48.0, series=4800.0))) == []
    [finding] = fired(SLUG, design(card(48.0, series=1000.0)))
    assert finding.numbers[0].value == pytest.approx(48.0 * 4800 / 5800, rel=1e-3)


@given(st.floats(5.0, 60.0))
def test_it_fires_above_thirty_volts(rail: float) -> None:
    rail = round(rail, 1)
    assert bool(fired(SLUG, design(card(rail)))) is (rail > 30.0)


def test_a_card_of_unknown_voltage_is_not_judged() -> None:
    assert "input_voltage" in open_questions(SLUG, design(card(24.0, "")))[0].missing


def test_what_it_says() -> None:
    """IEC 61131-2: an input of 24 V bears 30 V; the rail has 30.1 V."""
    [finding] = fired(SLUG, design(card(30.1)))
    assert_says(
        finding,
        "CAUTION",
        limit=(30.0, "V", "IEC 61131-2 digital inputs for direct current, 24 V"),
        number=("input", 30.1, "V"),
        mend="for 30.1 V",
    )
