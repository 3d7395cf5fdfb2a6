"""Networks without an operating point."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, folded_under
from says import assert_says

SLUG = "network-undecided"


def feed(load_w: float, length_m: float, rated: float = 5.0) -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: {rated} A,
       overload: {{mode: constant-current, limit: 300 %}}}}
  E1: {{kind: load, rated: 24 V DC {load_w} W}}
wires:
  - {{wire: 1, from: G1:V+, to: E1:1, size: 0.75 mm2, length: {length_m} m}}
  - {{wire: 2, from: G1:V-, to: E1:2, size: 0.75 mm2, length: {length_m} m}}
"""


# The most that passes a resistance is V²/4R. 0.75 mm2 class 5, 26 ohm/km at 20 °C and 28.04 at 40 °C (IEC 60228,
# factor 274.5/254.5); 2 x 60 m are 3.365 ohm, the supply 0.1 % of 24 V / 5 A, 4.8 milliohm: 24²/4/3.37 = 42.73 W.
@pytest.mark.parametrize(("load_w", "fires"), [(42.5, False), (43.0, True)])
def test_the_largest_power_through_a_resistance(load_w: float, fires: bool) -> None:
    found = fired(SLUG, design(feed(load_w, 60)))
    assert [item.subjects for item in found] == ([("E1", "G1")] if fires else [])


def test_it_points_at_the_load() -> None:
    found = fired(SLUG, design(feed(60, 120)))
    assert found[0].place is not None
    assert found[0].place.line == 8


def test_an_overloaded_supply_is_told_by_its_own_rule() -> None:
    assert folded_under(SLUG, design(feed(60, 120, rated=1.0))) == {"supply-overloaded"}


def test_what_it_says() -> None:
    """See above for the resistance."""
    [finding] = fired(SLUG, design(feed(43.0, 60)))
    assert_says(
        finding,
        "WARNING",
        number=("way there and back", 2 * 60 * 0.026 * 304.5 / 254.5 + 0.0048, "ohm"),
        mend="thicker or shorter",
    )


def test_thicker_conductors_are_asked_by_the_largest_power_that_passes() -> None:
    """At half of 24 V 43 W are 3.58 A, and 12 V over them leave 3.349 ohm, the supply's 4.8 milliohm among them:
    2 x 60 m of 0.0195 ohm mm2/m (IEC 60228, class 5), warm, want 0.837 mm2 there and back."""
    [finding] = fired(SLUG, design(feed(43.0, 60)))
    least = 2 * 60 * 0.0195 * 304.5 / 254.5 / (12.0 / (43.0 / 12.0) - 0.0048)
    asks = finding.mends[0].asks
    assert [(one.item, one.quantity) for one in asks] == [("1", "area"), ("2", "area")]
    assert [one.least for one in asks] == pytest.approx([least, least], rel=0.02)
