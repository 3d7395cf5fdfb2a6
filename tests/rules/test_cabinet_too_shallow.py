"""Depth of the cabinet, by hand: plate 25 mm before the back wall, rail 15 mm, 10 mm of air (own choice)."""

from __future__ import annotations

import pytest
from laid_plates import APART, plate
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "cabinet-too-shallow"
LAMP = "  H1: {{kind: lamp, at: door, rated: 24 V DC 1 W, size: 30 x 40 x {depth} mm{place}}}\n"


def door(place: str, depth: float = 55.0) -> str:
    """A lamp on the door; the plate's corner is 25.5 mm to the right of that of the door and 15 mm above it."""
    at = f", position: {place}" if place else ""
    return LAMP.format(depth=depth, place=at)


@pytest.mark.parametrize(("depth", "fires"), [(40.0, False), (41.0, True)])
def test_a_lamp_before_the_deepest_part(depth: float, fires: bool) -> None:
    """G1 reaches to 25 + 15 + 110 = 150 mm; with 10 mm of air 40 of the 200 mm are left."""
    assert bool(fired(SLUG, plate(APART, rest=door("150 x 340 mm", depth)))) is fires


def test_a_lamp_beside_it_is_quiet() -> None:
    assert not fired(SLUG, plate(APART, rest=door("150 x 450 mm")))


def test_what_it_says() -> None:
    """G1 150 mm, the lamp 55 and 10 between them: 215 mm, and the cabinet has 200."""
    [finding] = fired(SLUG, plate(APART, rest=door("150 x 340 mm")))
    assert finding.subjects == ("G1", "H1")
    assert_says(
        finding,
        "CAUTION",
        limit=(200 / 1000, "m", "Trade practice depth of cabinets"),
        number=("needed", (25 + 15 + 110 + 55 + 10) / 1000, "m"),
        mend="215 mm deep",
    )


def test_a_part_deeper_than_the_cabinet() -> None:
    spots = {"K1": "230 x 300 mm"}
    [finding] = fired(
        SLUG,
        plate(
            spots,
            {"K1": "note: deep"},
            rest="  D9: {kind: device, points: {1: through}, size: 50 x 50 x 160 mm, position: 50 x 50 mm}\n",
        ),
    )
    assert finding.subjects == ("D9",)


def test_an_operator_without_a_place_is_asked_for() -> None:
    [asked] = open_questions(SLUG, plate(APART, rest=door("")))
    assert asked.subjects == ("H1",)
