"""An open collector gives no voltage of its own (common practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "output-needs-pull-up"


def link(word: str, more_parts: str = "", more_wires: str = "", mark: str = "") -> str:
    return plan(
        f"""
        A1: {{kind: controller, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 50 mA}},
             outputs: {{O1: {word}}}, boot: "off"}}
        A2: {{kind: io-card, inputs: {{I1: sink}}, input_type: 3, input_voltage: 24 V DC, common: COM}}
        {more_parts}
        """,
        f"""
        - {{wire: 1, from: X1:2, to: A1:24V}}
        - {{wire: 2, from: X2:2, to: A1:0V}}
        - {{wire: 3, from: A1:O1, to: A2:I1}}{mark}
        - {{wire: 4, from: X2:3, to: A2:COM}}
        {more_wires}
        """,
    )


@pytest.mark.parametrize("word", ["open-collector", "npn"])
def test_an_open_collector_into_a_sinking_input(word: str) -> None:
    assert_marked(link(word, mark="   #! output-needs-pull-up"))


def test_a_driver_for_an_opto_coupler_wired_to_the_return() -> None:
    assert_marked(
        plan(
            """
            A1: {kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 50 mA},
                 outputs: {O1: npn}, boot: "off"}
            D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 24 V DC}
            """,
            """
            - {wire: 1, from: X1:2, to: A1:24V}
            - {wire: 2, from: X2:2, to: A1:0V}
            - {wire: 3, from: A1:O1, to: "D1:ENA+"}   #! output-needs-pull-up
            - {wire: 4, from: X2:3, to: "D1:ENA-"}
            - {wire: 5, from: X1:5, to: "D1:V+"}
            - {wire: 6, from: X2:5, to: "D1:V-"}
            - {wire: P1, from: XPE:5, to: D1:PE}
            """,
        )
    )


@pytest.mark.parametrize("word", ["pnp", "push-pull 24 V"])
def test_outputs_that_give_a_voltage_are_right(word: str) -> None:
    assert fired(SLUG, design(link(word))) == []


@pytest.mark.parametrize(("to", "fires"), [("X1:6", False), ("X2:6", True)])
def test_only_a_resistor_to_the_plus_is_a_pull_up(to: str, fires: bool) -> None:
    body = link(
        "open-collector",
        "R1: {kind: resistor, resistance: 2.2 kohm}",
        f"- {{wire: 5, from: A1:O1, to: 'R1:1'}}\n        - {{wire: 6, from: 'R1:2', to: {to}}}",
    )
    assert bool(fired(SLUG, design(body))) is fires


def test_an_opto_coupler_between_the_plus_and_the_output_needs_none() -> None:
    body = plan(
        """
        A1: {kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 50 mA}, outputs: {O1: npn}}
        D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 24 V DC}
        """,
        """
        - {wire: 1, from: X1:2, to: A1:24V}
        - {wire: 2, from: X2:2, to: A1:0V}
        - {wire: 3, from: A1:O1, to: "D1:ENA-"}
        - {wire: 4, from: X1:3, to: "D1:ENA+"}
        """,
    )
    assert fired(SLUG, design(body)) == []


def test_what_it_says() -> None:
    """Common practice: 1 to 4.7 kohm."""
    [finding] = fired(SLUG, design(link("npn")))
    assert_says(finding, "CAUTION", mend="1 to 4.7 kohm")
