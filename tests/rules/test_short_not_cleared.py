"""A device that does not open on a short circuit at the far end of what it protects."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.findings import Signal

SLUG = "short-not-cleared"


def rail(device: str, overload: str = "overload: {mode: constant-current, limit: 110 %}", more: bool = True) -> str:
    other = "  F2: {kind: fuse, rating: 1 A, class: F, rated_voltage: 60 V DC, breaking: 1.5 kA}\n" if more else ""
    through = "[G1:V+, F1:1, F2:1]" if more else "[G1:V+, F1:1]"
    second = (
        "  - {wire: 4, from: F2:2, to: E2:1, size: 2.5 mm2, length: 4 m}\n"
        "  - {wire: 5, from: G1:V-, to: E2:2, size: 2.5 mm2, length: 4 m}\n"
    )
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A, {overload}}}
  F1: {device}
{other}  E1: {{kind: load, rated: 24 V DC 60 W}}
  E2: {{kind: load, rated: 24 V DC 6 W}}
wires:
  - {{wire: 1, through: {through}, size: 2.5 mm2, length: 0.3 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 2.5 mm2, length: 4 m}}
  - {{wire: 3, from: G1:V-, to: E1:2, size: 2.5 mm2, length: 4 m}}
{second if more else ""}"""


def breaker(rating: float, curve: str = "C") -> str:
    return f"{{kind: breaker, rating: {rating} A, curve: {curve}, dc_voltage: 60 V DC, breaking: 6 kA}}"


def test_the_finding_points_at_the_breaker_that_the_supply_cannot_trip() -> None:
    """A C10 on a supply of 10 A: the common mistake of small cabinets."""
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A, overload: {mode: constant-current, limit: 110 %}}
  F1: {kind: breaker, rating: 10 A, curve: C, dc_voltage: 60 V DC, breaking: 6 kA}     #! short-not-cleared
  F2: {kind: fuse, rating: 2 A, class: F, rated_voltage: 60 V DC, breaking: 1.5 kA}
  E1: {kind: load, rated: 24 V DC 60 W}
  E2: {kind: load, rated: 24 V DC 10 W}
wires:
  - {wire: 1, through: [G1:V+, F1:1, F2:1], size: 2.5 mm2, length: 0.3 m}
  - {wire: 2, from: F1:2, to: E1:1, size: 2.5 mm2, length: 4 m}
  - {wire: 3, from: G1:V-, to: E1:2, size: 2.5 mm2, length: 4 m}
  - {wire: 4, from: F2:2, to: E2:1, size: 2.5 mm2, length: 4 m}
  - {wire: 5, from: G1:V-, to: E2:2, size: 2.5 mm2, length: 4 m}
""")


# IEC 60898-1, table 7: a breaker opens from 1.45 times its rating within an hour. 11 A / 1.45 = 7.59 A.
@pytest.mark.parametrize(("rating", "fires"), [(7.58, False), (7.6, True)])
def test_the_limit_is_the_conventional_tripping_current(rating: float, fires: bool) -> None:
    found = [item for item in fired(SLUG, design(rail(breaker(rating)))) if item.signal is Signal.CAUTION]
    assert bool(found) is fires


def test_with_one_branch_only_nothing_else_suffers() -> None:
    found = fired(SLUG, design(rail(breaker(10), more=False)))
    assert [item.signal for item in found] == [Signal.NOTICE]


def test_a_supply_that_shuts_down_is_no_fault_of_the_device() -> None:
    assert not fired(SLUG, design(rail(breaker(10), "overload: {mode: hiccup, limit: 110 %}")))


def test_a_pulse_that_opens_the_breaker_is_enough() -> None:
    """IEC 60898-1, curve B: 5 times 6 A, on DC 1.5 times that, 45 A; a supply that gives 60 A for a moment."""
    strong = "peak: 60 A, overload: {mode: constant-current, limit: 110 %}"
    weak = "peak: 44 A, overload: {mode: constant-current, limit: 80 %}"
    assert not fired(SLUG, design(rail(breaker(6, "B"), strong)))
    assert fired(SLUG, design(rail(breaker(6, "B"), weak)))


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (rail(breaker(10), "efficiency: 90 %"), "overload"),
        (rail("{kind: breaker, rating: 10 A, dc_voltage: 60 V DC}"), "curve"),
        (rail("{kind: fuse, rating: 30 A, class: T, rated_voltage: 60 V DC}"), "opening times"),
    ],
)
def test_what_the_plan_does_not_say_is_not_judged(body: str, words: str) -> None:
    found = open_questions(SLUG, design(body))
    assert [words in item.missing for item in found] == [True]
    assert not fired(SLUG, design(body))


@given(st.floats(1.0, 60.0), st.floats(1.01, 3.0))
def test_a_larger_breaker_never_opens_where_a_smaller_one_does_not(rating: float, factor: float) -> None:
    if fired(SLUG, design(rail(breaker(round(rating, 2))))):
        assert fired(SLUG, design(rail(breaker(round(rating * factor, 2)))))


def test_what_it_says() -> None:
    """A supply of 10 A held to 110 % never gives the 1.45 times 10 A at which a C 10 surely opens (IEC 60898-1 table
    7); 6 A opens at 8.7 A."""
    [finding] = fired(SLUG, design(rail(breaker(10), more=False)))
    assert_says(
        finding,
        "NOTICE",
        limit=(1.45 * 10, "A", "IEC 60204-1 7.2.1"),
        number=("fault current", 1.1 * 10, "A"),
        mend="6 A or less",
    )
