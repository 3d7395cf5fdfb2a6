"""Free space around parts, by hand."""

from __future__ import annotations

import pytest
from laid_plates import APART, plate
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "clearance-too-small"


@pytest.mark.parametrize(("sides", "fires"), [("40 mm", False), ("41 mm", True)])
def test_forty_millimetres_are_free_beside_it(sides: str, fires: bool) -> None:
    """G1 stands from 110 to 170 mm, F1 ends at 50 + 20 = 70: 40 mm are free."""
    assert bool(fired(SLUG, plate(APART, {"G1": f"clearance: {{sides: {sides}}}"}))) is fires


def test_what_it_says() -> None:
    """K1 above G1: G1 ends at 100 + 120 = 220 mm, K1 begins at 250: 30 mm of the 50 mm that G1 wants."""
    spots = {"G1": "110 x 100 mm", "K1": "110 x 250 mm", "F1": "300 x 300 mm"}
    [finding] = fired(SLUG, plate(spots, {"G1": "clearance: {above: 50 mm}"}))
    assert finding.subjects == ("G1", "K1")
    assert_says(
        finding,
        "CAUTION",
        limit=(50 / 1000, "m", "the plan clearance of the part"),
        number=("free", (250 - 100 - 120) / 1000, "m"),
        mend="Move K1 20 mm away from G1",
    )


def test_the_space_of_a_data_sheet_is_asked_of_supplies() -> None:
    spots = dict(APART)
    text = plate(spots)
    assert not open_questions(SLUG, text)
    from helpers import design

    body = """
enclosure: {size: 400 x 500 x 200 mm}
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, position: 100 x 200 mm}
"""
    [asked] = open_questions(SLUG, design(body))
    assert asked.subjects == ("G1",)
    assert "clearance" in asked.missing
