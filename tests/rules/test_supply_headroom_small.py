"""A supply carries its load with less than a fifth to spare (common practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, folded_under
from says import assert_says
from test_supply_overloaded import body

SLUG = "supply-headroom-small"


def test_the_finding_points_at_the_rating() -> None:
    assert_marked("""
parts:
  G1:
    kind: supply
    input: 230 V AC
    output: 24 V DC
    rated: 2.7 A   #! supply-headroom-small
  E1: {kind: load, rated: 24 V DC 60 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: G1:V-, to: E1:2, size: 1.5 mm2, length: 1 m}
""")


@pytest.mark.parametrize(("watts", "fires"), [(94.5, False), (97.5, True), (118.0, True), (122.0, True)])
def test_it_speaks_above_four_fifths(watts: float, fires: bool) -> None:
    """Of 5 A at 24 V four fifths are 96 W and the whole is 120 W, above which it follows from `supply-overloaded`."""
    found = design(body(watts, extra=", overload: {mode: constant-current, limit: 150 %}"))
    assert bool(fired(SLUG, found)) is fires
    assert folded_under(SLUG, found) == ({"supply-overloaded"} if watts > 120.0 else set())


def test_the_headroom_is_that_of_the_derated_supply() -> None:
    """At 50 °C with 2.5 %/K from 40 °C, 3.75 A are available: 80 W is 3.33 A, 11 % free; at 30 °C it is 33 % free."""
    extra = ", derating: {from: 40 °C, slope: 2.5 %/K}"
    assert fired(SLUG, design(body(80.0, extra=extra, ambient_c=50.0)))
    assert not fired(SLUG, design(body(80.0, extra=extra, ambient_c=30.0)))


@given(st.floats(1.0, 119.0))
def test_the_supply_that_it_offers_passes(watts: float) -> None:
    """A quarter more than the load leaves a fifth of the supply free: L / 0.8."""
    rated = watts / 24.0 / 0.8 * 1.02
    assert not fired(SLUG, design(body(watts, rated=rated)))
    assert fired(SLUG, design(body(watts, rated=watts / 24.0 / 0.8 * 0.97)))


def test_what_it_says() -> None:
    """Common practice: four fifths of 5 A; 97.5 W at 24 V. 4.07 / 0.8 = 5.1 A, and 6 A is the next that is sold."""
    [finding] = fired(SLUG, design(body(97.5, extra=", overload: {mode: constant-current, limit: 150 %}")))
    assert_says(
        finding,
        "CAUTION",
        limit=(0.8 * 5, "A", "trade practice 20 to 30 % headroom"),
        number=("load", 97.5 / 24, "A"),
        mend="6 A or more",
        rel=0.002,
    )
