"""A supply is asked for more than it may deliver: its rating, less its derating at the cabinet's temperature."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "supply-overloaded"


def body(watts: float, rated: float = 5.0, extra: str = "", ambient_c: float = 30.0) -> str:
    """A 24 V supply and one load on two metres of 10 mm2, in which next to nothing is lost."""
    return f"""
site: {{ambient: {ambient_c} °C}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: {rated} A{extra}}}
  E1: {{kind: load, rated: 24 V DC {watts} W}}
wires:
  - {{wire: 1, from: G1:V+, to: E1:1, size: 10 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: E1:2, size: 10 mm2, insulation: pvc-70, length: 1 m}}
"""


def test_the_finding_points_at_the_rating() -> None:
    assert_marked("""
parts:
  G1:
    kind: supply
    input: 230 V AC
    output: 24 V DC
    rated: 2 A   #! supply-overloaded
  E1: {kind: load, rated: 24 V DC 60 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: G1:V-, to: E1:2, size: 1.5 mm2, length: 1 m}
""")


@pytest.mark.parametrize(("watts", "fires"), [(118.0, False), (122.0, True)])
def test_the_limit_is_the_rated_current(watts: float, fires: bool) -> None:
    """24 V times 5 A is 120 W (Ohm's law; no derating below the temperature where it begins)."""
    assert bool(fired(SLUG, design(body(watts, extra=", overload: {mode: constant-current, limit: 150 %}")))) is fires


@pytest.mark.parametrize(("watts", "fires"), [(88.5, False), (91.5, True)])
def test_derating_lowers_the_limit(watts: float, fires: bool) -> None:
    """2.5 %/K from 40 °C at 50 °C leaves 75 % of 5 A, 3.75 A, which is 90 W at 24 V (definition of derating)."""
    extra = ", overload: {mode: constant-current, limit: 150 %}, derating: {from: 40 °C, slope: 2.5 %/K}"
    assert bool(fired(SLUG, design(body(watts, extra=extra, ambient_c=50.0)))) is fires


def test_a_load_far_beyond_the_limit_of_the_supply_is_told_with_what_it_asks() -> None:
    """A supply that shuts down delivers nothing, yet the finding names the 20 A that are asked (480 W at 24 V)."""
    extra = ", overload: {mode: hiccup, limit: 105 %}"
    [finding] = fired(SLUG, design(body(480.0, extra=extra)))
    load = next(number for number in finding.numbers if number.name == "load")
    assert load.value == pytest.approx(20.0, rel=0.02)


def test_a_warm_cabinet_without_derating_data_is_not_judged() -> None:
    [item] = open_questions(SLUG, design(body(24.0, ambient_c=50.0)))
    assert item.subjects == ("G1",)
    assert "derating" in item.missing
    assert open_questions(SLUG, design(body(24.0, ambient_c=40.0))) == []


@given(st.floats(10.0, 300.0), st.floats(1.01, 3.0))
def test_more_load_never_mends_it(watts: float, factor: float) -> None:
    if fired(SLUG, design(body(watts))):
        assert fired(SLUG, design(body(watts * factor)))


@given(st.floats(10.0, 300.0), st.floats(1.01, 3.0))
def test_a_larger_supply_never_makes_it_worse(watts: float, factor: float) -> None:
    if not fired(SLUG, design(body(watts))):
        assert not fired(SLUG, design(body(watts, rated=5.0 * factor)))


def test_what_it_says() -> None:
    """The supply is rated 5 A; 122 W at 24 V. 5.09 / 0.8 = 6.4 A, and 7.5 A is the next that is sold."""
    [finding] = fired(SLUG, design(body(122.0)))
    assert_says(
        finding,
        "WARNING",
        limit=(5.0, "A", "IEC 60204-1 4.2.1"),
        number=("load", 122 / 24, "A"),
        mend="7.5 A or more",
        rel=0.003,
    )


def coil(rating: str) -> str:
    """A 24 V supply of 1 A and a contactor whose coil hangs on it."""
    return f"""
site: {{ambient: 30 °C}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A}}
  K1: {{kind: contactor, coil: {rating}}}
wires:
  - {{wire: 1, from: G1:V+, to: K1:A1, size: 10 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: K1:A2, size: 10 mm2, insulation: pvc-70, length: 1 m}}
"""


def test_a_coil_without_its_power_is_asked_for_where_a_power_of_a_coil_overloads_the_supply() -> None:
    """What would be told with the power may not be silent without it: Ohm's law, 30 W at 24 V are 1.25 A."""
    assert fired(SLUG, design(coil("24 V DC 30 W")))
    assert not fired(SLUG, design(coil("24 V DC")))
    assert open_questions(SLUG, design(coil("24 V DC")))
    assert not open_questions(SLUG, design(coil("24 V DC 3 W")))
