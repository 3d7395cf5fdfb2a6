"""Height of the site against 1000 m (IEC 60204-1 4.4.5 and NFPA 79 4.5.5, both from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired, open_questions
from says import assert_says

from wiring.findings import Signal

SLUG = "altitude-above-rating"
PARTS = "parts:\n  X1: {kind: terminals, points: 1}\n"


@pytest.mark.parametrize("book", ["iec", "na"])
def test_the_limit_is_1000_m(book: str) -> None:
    assert fired(SLUG, design("site: {altitude: 1000 m}\n" + PARTS, book)) == []
    [finding] = fired(SLUG, design("site: {altitude: 1001 m}\n" + PARTS, book))
    assert finding.signal is Signal.NOTICE
    assert finding.place is not None
    assert finding.place.line == 4


@pytest.mark.parametrize(("metres", "signal"), [(2000, Signal.NOTICE), (2001, Signal.CAUTION)])
def test_above_2000_m_clearances_are_short(metres: int, signal: Signal) -> None:
    """IEC 60664-1, table A.2 (from memory): factor 1 up to 2000 m, 1.14 at 3000 m."""
    [finding] = fired(SLUG, design(f"site: {{altitude: {metres} m}}\n" + PARTS))
    assert finding.signal is signal


def test_feet_are_read() -> None:
    """3281 ft are 1000.05 m."""
    assert len(fired(SLUG, design("site: {altitude: 3281 ft}\n" + PARTS))) == 1


def test_a_site_without_height_is_not_judged() -> None:
    [item] = open_questions(SLUG, design("site: {ambient: 30 °C}\n" + PARTS))
    assert "`altitude: 300 m`" in item.missing
    assert open_questions(SLUG, design(PARTS)) == []


@given(st.floats(0, 5000), st.floats(0, 3000))
def test_higher_is_never_better(low: float, more: float) -> None:
    def count(metres: float) -> int:
        return len(fired(SLUG, design(f"site: {{altitude: {metres:.2f} m}}\n" + PARTS)))

    assert count(low) <= count(low + more)


def test_what_it_says() -> None:
    """IEC 60204-1 4.4.5: parts work up to 1000 m without derating. The site gives 1001 m."""
    [finding] = fired(SLUG, design("site: {altitude: 1001 m}\n" + PARTS))
    assert_says(
        finding,
        "NOTICE",
        limit=(1000.0, "m", "IEC 60204-1 4.4.5"),
        number=("altitude", 1001.0, "m"),
        mend="derating for this height",
    )
