"""Mains equipment on a metal door: IEC 60204-1 8.2.3 and NFPA 79 8.2.3, from memory."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

from wiring.design.design import Design

SLUG = "door-without-strap"


def door(switch: str = "at: door", material: str = ", material: painted-steel", parts: str = "") -> Design:
    """A main switch behind the inlet, and a supply behind it."""
    return design(
        f"""
enclosure: {{size: 400 x 500 x 200 mm{material}}}
mains: {{inlet: X0, system: single-phase, voltage: 230 V}}
parts:
  X0: {{kind: inlet, rated: 16 A}}
  Q1: {{kind: disconnector, poles: 2, rated: 25 A, {switch}}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}, at: door}}
{parts}
wires:
  - {{wire: 1, from: "X0:L", to: "Q1:1", size: 2.5 mm2}}
  - {{wire: 2, from: "X0:N", to: "Q1:3", size: 2.5 mm2}}
"""
    )


@pytest.mark.parametrize(
    ("switch", "material", "parts", "fires"),
    [
        ("at: door", ", material: painted-steel", "", True),
        ("at: door", ", material: plastic", "", False),
        ("at: cabinet", ", material: painted-steel", "", False),
        ("at: door", ", material: aluminium", "  DR: {kind: metalwork, at: door}", False),
        ("at: door", ", material: aluminium", "  CAB: {kind: metalwork}", True),
    ],
)
def test_mains_on_a_metal_door_want_a_strap(switch: str, material: str, parts: str, fires: bool) -> None:
    found = fired(SLUG, door(switch, material, parts))
    assert [one.subjects for one in found] == ([("Q1",)] if fires else [])


def test_what_the_cabinet_is_made_of_is_asked() -> None:
    [asked] = open_questions(SLUG, door(material=""))
    assert "material" in asked.missing


def test_what_it_says() -> None:
    [finding] = fired(SLUG, door())
    assert_says(finding, "WARNING", mend="Add the door and its strap")
