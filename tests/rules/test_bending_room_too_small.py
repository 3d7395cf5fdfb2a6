"""Room between a part and a duct, by hand."""

from __future__ import annotations

import pytest
from laid_plates import APART, plate
from marked_plans import fired
from says import assert_says

SLUG = "bending-room-too-small"


def with_duct(low_mm: float) -> str:
    """A duct 40 mm high across the plate at that height."""
    return f", ducts: {{low: {{at: 0 x {low_mm} mm, length: 349 mm, size: 40 x 60 mm}}}}"


@pytest.mark.parametrize(("top", "fires"), [(250.0, False), (255.0, True)])
def test_thirty_millimetres_are_enough(top: float, fires: bool) -> None:
    """G1 begins at 280 mm; the duct ends at 250 or 255."""
    assert bool(fired(SLUG, plate(APART, enclosure=with_duct(top - 40.0)))) is fires


def test_what_it_says() -> None:
    """The duct ends at 215 + 40 = 255 mm and G1 begins at 280: 25 mm of the usual 30 (common practice)."""
    [finding] = fired(SLUG, plate(APART, enclosure=with_duct(215.0)))
    assert finding.subjects == ("G1",)
    assert_says(
        finding,
        "NOTICE",
        limit=(30 / 1000, "m", "Trade practice room between terminals and duct"),
        number=("room", (280 - 255) / 1000, "m"),
        mend="Move G1 5 mm away",
    )
