"""An axis that falls is held by a brake (IEC 60204-1, 4.1, from memory) or by a screw that locks by itself."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says

SLUG = "vertical-axis-without-brake"
MOTOR = "kind: stepper-motor, phase_current: 4 A peak, phase_resistance: 1 ohm, metal: false"


def test_the_mark_of_the_axis_is_where_it_points() -> None:
    assert_marked(f"""
parts:
  M1:
    {MOTOR.replace(", ", chr(10) + "    ")}
    vertical: true   #! vertical-axis-without-brake
""")


@pytest.mark.parametrize(
    ("more", "brake", "fires"),
    [
        ("", False, False),
        (", vertical: true", False, True),
        (", vertical: true, self_locking: true", False, False),
        (", vertical: true", True, False),
    ],
)
def test_a_brake_or_a_locking_screw_holds_it(more: str, brake: bool, fires: bool) -> None:
    held = "\n  Y1: {kind: brake, rated: 24 V DC 10 W, holds: M1}" if brake else ""
    assert bool(fired(SLUG, design(f"parts:\n  M1: {{{MOTOR}{more}}}{held}\n"))) is fires


def test_a_brake_of_another_axis_does_not_hold_it() -> None:
    body = (
        f"parts:\n  M1: {{{MOTOR}, vertical: true}}\n  M2: {{{MOTOR}}}\n"
        "  Y1: {kind: brake, rated: 24 V DC 10 W, holds: M2}\n"
    )
    assert [finding.subjects for finding in fired(SLUG, design(body))] == [("M1",)]


def test_what_it_says() -> None:
    """A load that falls needs a brake (IEC 60204-1 4.1 names the vertical load)."""
    [finding] = fired(SLUG, design(f"parts:\n  M1: {{{MOTOR}, vertical: true}}\n"))
    assert_says(finding, "WARNING", mend="holds: M1")
