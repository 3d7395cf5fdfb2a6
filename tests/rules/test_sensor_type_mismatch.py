"""Sinking inputs read the plus, sourcing inputs the return (IEC 61131-2): pnp to sink, npn to source."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "sensor-type-mismatch"


def sensor(output: str, word: str, mark: str = "") -> str:
    return plan(
        f"""
        B1: {{kind: sensor, supply: 10..30 V DC, output: {output}, leakage: 0.1 mA, drop: 1 V}}
        A1: {{kind: io-card, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 50 mA}},
             inputs: {{I1: {word}}}, input_type: 3, common: 0V}}
        """,
        f"""
        - {{wire: 1, from: X1:2, to: B1:1}}
        - {{wire: 2, from: B1:4, to: A1:I1}}{mark}
        - {{wire: 3, from: X2:2, to: B1:3}}
        - {{wire: 4, from: X1:3, to: A1:24V}}
        - {{wire: 5, from: X2:3, to: A1:0V}}
        """,
    )


def test_npn_into_a_sinking_input() -> None:
    assert_marked(sensor("npn NC", "sink", "   #! sensor-type-mismatch"))


def test_pnp_into_a_sourcing_input() -> None:
    assert_marked(sensor("pnp NC", "source", "   #! sensor-type-mismatch"))


@pytest.mark.parametrize(
    ("output", "word", "fires"),
    [
        ("pnp NO", "sink", False),
        ("npn NO", "sink", True),
        ("pnp NO", "source", True),
        ("npn NO", "source", False),
        ("pnp NO", "isolated", False),
        ("npn NO", "isolated", True),
    ],
)
def test_the_table_of_sensors_and_inputs(output: str, word: str, fires: bool) -> None:
    """The isolated input returns to 0 V here, so that it reads the plus."""
    assert bool(fired(SLUG, design(sensor(output, word)))) is fires


def test_a_contact_to_the_wrong_pole() -> None:
    assert_marked(
        plan(
            """
            B1: {kind: limit-switch, contacts: {11-12: NC}}
            A1: {kind: io-card, inputs: {I1: sink}, input_type: 3, input_voltage: 24 V DC, common: COM}
            """,
            """
            - {wire: 1, from: X2:2, to: B1:11}
            - {wire: 2, from: B1:12, to: A1:I1}   #! sensor-type-mismatch
            - {wire: 3, from: X2:3, to: A1:COM}
            """,
        )
    )


def test_a_common_on_the_wrong_pole() -> None:
    body = plan(
        """
        B1: {kind: limit-switch, contacts: {11-12: NC}}
        A1: {kind: io-card, inputs: {I1: sink}, input_type: 3, input_voltage: 24 V DC, common: COM}
        """,
        "- {wire: 1, from: X1:2, to: B1:11}\n- {wire: 2, from: B1:12, to: A1:I1}\n- {wire: 3, from: X1:3, to: A1:COM}",
    )
    assert len(fired(SLUG, design(body))) == 1


def test_a_pull_up_turns_an_npn_sensor_round() -> None:
    body = sensor("npn NO", "sink").replace(
        "wires:\n", "  R1: {kind: resistor, resistance: 1 kohm, purpose: pull-up}\nwires:\n", 1
    )
    body += "  - {wire: 6, from: X1:5, to: 'R1:1'}\n  - {wire: 7, from: 'R1:2', to: B1:4}\n"
    assert fired(SLUG, design(body)) == []


def test_an_unknown_return_is_not_judged() -> None:
    body = plan(
        "B1: {kind: limit-switch, contacts: {11-12: NC}}\n"
        "A1: {kind: io-card, inputs: {I1: sink}, input_voltage: 24 V DC}",
        "- {wire: 1, from: X1:2, to: B1:11}\n- {wire: 2, from: B1:12, to: A1:I1}",
    )
    assert "common" in open_questions(SLUG, design(body))[0].missing


def test_what_it_says() -> None:
    """IEC 61131-2: a sinking input wants current from the plus of 24 V, which a pnp output gives."""
    [finding] = fired(SLUG, design(sensor("npn NC", "sink")))
    assert_says(finding, "CAUTION", number=("rail", 24.0, "V"), mend="Take a pnp sensor")
