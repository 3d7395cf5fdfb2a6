"""Ripple of unregulated rails."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from rectified import rail
from says import assert_says

SLUG = "rail-ripple-too-high"


def test_the_finding_points_at_the_rectifier() -> None:
    body = rail(28, "1 mF", 72)
    assert_marked(body.replace("drop: 2 V}\n", "drop: 2 V}     #! rail-ripple-too-high\n"))


def test_the_ripple_by_hand() -> None:
    """I / (2 f C) with 50 Hz: 100 half waves a second, each of which 1 mF loses 10 V at 1 A."""
    found = design(rail(28, "1 mF", 72)).unregulated[0]
    assert found.ripple_v == pytest.approx(10.0 * found.load_a)


def test_the_limit_is_fifteen_per_cent_of_the_loaded_rail() -> None:
    """IEC 60204-1, 4.3.3: 0.15 U from peak to peak, so C = I / (2 f x 0.15 U) is just enough."""
    loaded = design(rail(28, "10 mF", 72)).unregulated[0]
    least = loaded.load_a / (100.0 * 0.15 * loaded.loaded_v)
    assert fired(SLUG, design(rail(28, f"{1e6 * least * 0.99} µF", 72)))
    assert not fired(SLUG, design(rail(28, f"{1e6 * least * 1.01} µF", 72)))


def test_a_rail_without_a_capacitor() -> None:
    body = rail(28, "10 mF", 72).replace("F3:2, C1:+, D1", "F3:2, D1").replace("V1:-, C1:-, D1", "V1:-, D1")
    assert "without a capacitor" in fired(SLUG, design(body))[0].summary


def test_mains_of_unknown_frequency_are_not_judged() -> None:
    found = design(rail(28, "1 mF", 72).replace("frequency: 50 Hz, ", ""))
    assert not fired(SLUG, found)
    assert "frequency" in open_questions(SLUG, found)[0].missing


def test_what_it_says() -> None:
    """IEC 60204-1 4.3.3: 15 % of the loaded rail; the capacitor has 1 mF."""
    loaded_v = 39.8
    [finding] = fired(SLUG, design(rail(28, "1 mF", 72)))
    assert_says(
        finding,
        "CAUTION",
        limit=(0.15 * loaded_v, "V", "IEC 60204-1 4.3.3"),
        number=("capacitance", 1 / 1000, "F"),
        mend="which keeps about a tenth of ripple",
    )
