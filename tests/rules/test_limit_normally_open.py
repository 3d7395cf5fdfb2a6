"""Limits are break contacts, so that a broken wire stops the axis (IEC 60204-1, 9.4.3.3, from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "limit-normally-open"
CARD = "A1: {kind: io-card, inputs: {I1: sink}, input_type: 3, input_voltage: 24 V DC, common: COM}"


def switch(contacts: str, ends: tuple[str, str], more: str = "", mark: str = "") -> str:
    return plan(
        f"B1: {{kind: limit-switch, contacts: {{{contacts}}}{more}}}{mark}\n{CARD}",
        f"- {{wire: 1, from: X1:2, to: B1:{ends[0]}}}\n- {{wire: 2, from: B1:{ends[1]}, to: A1:I1}}\n"
        f"- {{wire: 3, from: X2:2, to: A1:COM}}",
    )


def test_a_make_contact_for_a_limit() -> None:
    assert_marked(switch("13-14: NO", ("13", "14"), mark="   #! limit-normally-open"))


def test_the_wrong_half_of_a_change_over() -> None:
    assert_marked(switch("11-12: NC, 13-14: NO", ("13", "14"), mark="   #! limit-normally-open"))


@pytest.mark.parametrize(
    ("contacts", "ends", "more", "fires"),
    [
        ("11-12: NC", ("11", "12"), "", False),
        ("11-12: NC, 13-14: NO", ("11", "12"), "", False),
        ("13-14: NO", ("13", "14"), ", purpose: home", False),
        ("13-14: NO", ("13", "14"), ", purpose: over-travel", True),
    ],
)
def test_what_is_wired_and_what_it_is_for(contacts: str, ends: tuple[str, str], more: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(switch(contacts, ends, more)))) is fires


@pytest.mark.parametrize(
    ("output", "purpose", "fires", "asks"),
    [
        ("pnp NO", ", purpose: limit", True, False),
        ("pnp NC", ", purpose: limit", False, False),
        ("pnp NO", ", purpose: home", False, False),
        ("pnp NO", ", purpose: other", False, False),
        ("pnp NO", "", False, True),
        ("pnp NC", "", False, False),
    ],
)
def test_sensors_by_their_purpose(output: str, purpose: str, fires: bool, asks: bool) -> None:
    body = plan(
        f"B1: {{kind: sensor, supply: 10..30 V DC, output: {output}{purpose}}}\n{CARD}",
        "- {wire: 1, from: X1:2, to: B1:1}\n- {wire: 2, from: B1:4, to: A1:I1}\n"
        "- {wire: 3, from: X2:2, to: B1:3}\n- {wire: 4, from: X2:3, to: A1:COM}",
    )
    assert bool(fired(SLUG, design(body))) is fires
    assert [one.subjects for one in open_questions(SLUG, design(body))] == ([("B1",)] if asks else [])


def test_what_it_says() -> None:
    """IEC 60204-1 9.4.3.3: a broken wire must stop the axis."""
    [finding] = fired(SLUG, design(switch("13-14: NO", ("13", "14"))))
    assert_says(finding, "CAUTION", mend="break contact of B1 (NC)")
