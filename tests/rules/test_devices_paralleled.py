"""Fuses in parallel guard as one of both ratings (NFPA 70, 240.8: not in parallel but by their maker)."""

from __future__ import annotations

from helpers import design
from marked_plans import fired
from says import assert_says
from small_plans import plan

SLUG = "devices-paralleled"
FUSES = """
F1: {kind: fuse, rating: 2 A}
F2: {kind: fuse, rating: 4 A}
X5: {kind: terminals, points: 4, bridged: [BRIDGED]}
"""
WIRES = """
- {wire: 1, through: [X1:2, F1:1, F2:1]}
- {wire: 2, from: F1:2, to: X5:1}
- {wire: 3, from: F2:2, to: X5:3}
"""


def test_a_comb_behind_two_fuses() -> None:
    [finding] = fired(SLUG, design(plan(FUSES.replace("BRIDGED", "1-4"), WIRES)))
    assert finding.subjects == ("F1", "F2")
    assert "as one of 6 A" in finding.summary
    assert_says(finding, "CAUTION", mend="Part what joins F1 and F2")


def test_two_combs() -> None:
    assert fired(SLUG, design(plan(FUSES.replace("BRIDGED", "1-2, 3-4"), WIRES))) == []
