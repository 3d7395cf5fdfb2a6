"""A shield that is bonded nowhere shields nothing (common practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "shield-floating"


def cable(shield: str) -> str:
    return plan(
        "X8: {kind: terminals, points: 2}\nX9: {kind: terminals, points: 2}",
        cables=f"- cable: C1\n  join: {{1: [X8:1, X9:1], 2: [X8:2, X9:2]}}\n  {shield}",
    )


def test_a_shield_in_the_air() -> None:
    assert_marked(cable("shield: {ends: []}   #! shield-floating"))


@pytest.mark.parametrize(
    ("shield", "fires"), [("shield: {}", True), ("shield: {ends: [XPE:7]}", False), ("title: plain", False)]
)
def test_only_a_shield_with_no_end_at_all(shield: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(cable(shield)))) is fires


def test_what_it_says() -> None:
    """Common practice."""
    [finding] = fired(SLUG, design(cable("shield: {ends: []}")))
    assert_says(finding, "CAUTION", mend="Clamp the shield of C1")


@pytest.mark.parametrize(("points", "edits"), [(3, 1), (2, 2)])
def test_a_bar_with_one_free_point_is_enough(points: int, edits: int) -> None:
    """One end takes one point: points 1 and 2 of the bar are taken, so that a bar of two needs one more."""
    text = cable("shield: {ends: []}").replace("earth-bar, points: 12", f"earth-bar, points: {points}")
    [finding] = fired(SLUG, design(text))
    assert len(finding.mends[0].edits) == edits
    assert finding.mends[0].edits[-1].value == "[XPE:3]"
