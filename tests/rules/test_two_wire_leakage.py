"""Off currents of input types and what a two-wire sensor leaks and drops (IEC 61131-2; 0.5 to 2.5 mA, up to 7 V)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "two-wire-leakage"


def circuit(
    leak_ma: float, input_type: str = "1", drop_v: float = 4.0, count: int = 1, more: str = "", mark: str = ""
) -> str:
    sensors = "\n".join(
        f"B{n}: {{kind: sensor, supply: 10..30 V DC, output: two-wire NC, leakage: {leak_ma} mA, drop: {drop_v} V}}"
        for n in range(count)
    )
    chain = "\n".join(f"- {{wire: c{n}, from: 'B{n}:4', to: 'B{n + 1}:1'}}" for n in range(count - 1))
    bleeder = "- {wire: 8, from: A1:I1, to: 'R1:1'}\n- {wire: 9, from: A1:COM, to: 'R1:2'}" if more else ""
    return plan(
        f"{sensors}\n"
        f"A1: {{kind: io-card, inputs: {{I1: sink}}, input_type: {input_type}, input_voltage: 24 V DC, "
        f"input_current: 5 mA, common: COM}}\n{more}",
        f"- {{wire: 1, from: X1:2, to: B0:1}}\n{chain}\n- {{wire: 2, from: 'B{count - 1}:4', to: A1:I1}}{mark}\n"
        f"- {{wire: 3, from: X2:2, to: A1:COM}}\n{bleeder}",
    )


def test_a_leaky_sensor_on_an_input_of_type_1() -> None:
    assert_marked(circuit(0.8, mark="   #! two-wire-leakage"))


def test_three_sensors_in_series() -> None:
    assert_marked(circuit(0.3, count=3, mark="   #! two-wire-leakage"))


@pytest.mark.parametrize(
    ("leak_ma", "input_type", "fires"),
    [(0.5, "1", False), (0.51, "1", True), (2.0, "2", False), (2.01, "2", True), (1.5, "3", False), (1.51, "3", True)],
)
def test_the_off_current_of_a_type(leak_ma: float, input_type: str, fires: bool) -> None:
    """IEC 61131-2, from memory: 0.5 mA for type 1, 2 mA for type 2, 1.5 mA for type 3."""
    assert bool(fired(SLUG, design(circuit(leak_ma, input_type)))) is fires


@pytest.mark.parametrize(("drop_v", "fires"), [(9.0, False), (9.1, True)])
def test_what_is_left_for_the_input(drop_v: float, fires: bool) -> None:
    """24 V less the drop must leave 15 V for type 1."""
    assert bool(fired(SLUG, design(circuit(0.1, drop_v=drop_v)))) is fires


@pytest.mark.parametrize(("ohm", "fires"), [(2900, False), (3300, True)])
def test_a_bleeder_takes_its_share(ohm: int, fires: bool) -> None:
    """The input has 24 V / 5 mA = 4.8 kohm; of 1.3 mA it takes R/(R + 4.8 kohm): 0.5 mA at 3.0 kohm (by hand)."""
    more = f"R1: {{kind: resistor, resistance: {ohm} ohm, purpose: bleeder}}"
    assert bool(fired(SLUG, design(circuit(1.3, more=more)))) is fires


@given(st.floats(0.05, 3.0), st.floats(0.0, 1.0))
def test_more_leakage_never_helps(leak_ma: float, more_ma: float) -> None:
    low, high = (bool(fired(SLUG, design(circuit(round(x, 3))))) for x in (leak_ma, leak_ma + more_ma))
    assert high or not low


def test_missing_figures_are_not_judged() -> None:
    text = circuit(0.3)
    assert "leakage" in open_questions(SLUG, design(text.replace(", leakage: 0.3 mA", "")))[0].missing.replace("`", "")
    assert "input_type" in open_questions(SLUG, design(text.replace(" input_type: 1,", "")))[0].missing


def test_what_it_says() -> None:
    """IEC 61131-2 type 1: off up to 0.5 mA; the sensor leaks 0.51 mA. At 0.5 mA the input of 4.8 kohm stands at 2.4 V,
    and 10 µA more pass 240 kohm, below which the series E12 has 220 kohm."""
    [finding] = fired(SLUG, design(circuit(0.51)))
    assert_says(
        finding,
        "CAUTION",
        limit=(0.5 / 1000, "A", "IEC 61131-2 digital inputs for direct current, 24 V"),
        number=("into the input", 0.51 / 1000, "A"),
        mend="220 kohm or less",
    )
