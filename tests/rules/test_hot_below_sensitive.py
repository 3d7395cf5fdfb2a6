"""Heat below breakers, by hand."""

from __future__ import annotations

import pytest
from laid_plates import plate
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "hot-below-sensitive"
BELOW = {"G1": "100 x 60 mm", "F1": "120 x 260 mm", "K1": "250 x 260 mm"}


@pytest.mark.parametrize(("heat", "fires"), [("4.9 W", False), ("5.1 W", True)])
def test_five_watts_are_hot(heat: str, fires: bool) -> None:
    assert bool(fired(SLUG, plate(BELOW, {"G1": f"heat: {heat}"}))) is fires


@pytest.mark.parametrize("spot", ["200 x 260 mm", "120 x 390 mm"])
def test_beside_and_far_above_is_quiet(spot: str) -> None:
    """G1 ends at 180 mm and reaches from 100 to 160 mm; 390 is 210 above it and K1 hides nothing there."""
    quiet = spot.startswith("200")
    assert bool(fired(SLUG, plate(BELOW | {"F1": spot}, {"G1": "heat: 9 W"}))) is not quiet


def test_what_stands_between_takes_the_heat() -> None:
    between = {"G1": "100 x 20 mm", "K1": "110 x 150 mm", "F1": "120 x 260 mm"}
    assert not fired(SLUG, plate(between, {"G1": "heat: 9 W", "K1": "heat: 0 W"}))


@pytest.mark.parametrize(("book", "standard"), [("iec", "IEC 60204-1 11.2.3"), ("na", "NFPA 79 11.2.3")])
def test_what_it_says(book: str, standard: str) -> None:
    """9 W as the plan gives it; what counts as hot, 5 W, is an own choice."""
    [finding] = fired(SLUG, plate(BELOW, {"G1": "heat: 9 W"}, book=book))
    assert finding.subjects == ("G1", "F1")
    assert_says(finding, "NOTICE", limit=(5, "W", standard), number=("heat", 9, "W"), mend="Move G1 above F1")


def test_parts_without_a_position_are_asked_for() -> None:
    [asked] = open_questions(SLUG, plate({"G1": "100 x 60 mm"}))
    assert asked.subjects == ("F1", "K1")
