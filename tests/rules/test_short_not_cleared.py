"""A device that does not open on a short circuit at the far end of what it protects."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.findings import Signal
from wiring.rules.short_not_cleared import requirements

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


def test_a_conductor_that_the_limit_alone_guards_is_a_caution() -> None:
    """2.5 mm2 bears 24 A at most (IEC 60204-1, table 6): behind 40 A it hangs on the supply, which gives 11 A."""
    [finding] = fired(SLUG, design(rail(breaker(40), more=False)))
    assert finding.signal is Signal.CAUTION
    assert "2 bears" in finding.summary
    assert "that limit alone guards it" in finding.summary


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


def long_feed(fault_a: float, size: str = "10 mm2") -> str:
    """500 m to a heater behind a breaker of 32 A, which surely opens from 1.45 x 32 = 46.4 A (IEC 60898-1, table 7)."""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: {fault_a} A}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: breaker, rating: 32 A, curve: C, poles: 2, breaking: 6 kA}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 10 mm2, length: 0.3 m}}
  - {{wire: 2, from: X0:N, to: F1:3, size: 10 mm2, length: 0.3 m}}
  - {{wire: 3, from: F1:2, to: E1:1, size: {size}, length: 500 m}}
  - {{wire: 4, from: F1:4, to: E1:2, size: {size}, length: 500 m}}
"""


def test_thicker_conductors_are_asked_for_by_what_the_feed_leaves_them() -> None:
    """Of 0.95 x 230 V / 46.4 A = 4.71 ohm (IEC 60909-0, table 1: the least voltage is 0.95 of the nominal one) a feed
    of 60 A takes 3.83; 500 m and back of 10 mm2 have 1.91 ohm cold (1.91 ohm/km, IEC 60228, class 5), 2.3 hot: 2.6
    times as thick, where the share of the currents alone would be 46.4 A / (218.5 V / 6.1 ohm), 1.3 times."""
    asked = [one for ask in requirements(design(long_feed(60))) for one in ask.instead if one.item == "3"]
    assert [one.least for one in asked] == [pytest.approx(10 * 2.3 / 0.88, rel=0.05)]
    assert fired(SLUG, design(long_feed(60, "25 mm2")))
    assert not fired(SLUG, design(long_feed(60, "35 mm2")))


def test_no_conductor_is_asked_for_where_the_feed_lets_too_little_pass() -> None:
    """40 A at the inlet itself are under the 46.4 A from which the breaker surely opens."""
    plan = design(long_feed(40))
    [ask] = [one for one in requirements(plan) if one.item == "F1"]
    assert ask.most < 32
    assert ask.instead == ()
    [finding] = fired(SLUG, plan)
    assert not any("thicker" in words for words in finding.mend)
    assert any("lets no more pass" in words for words in finding.mend)
    assert fired(SLUG, design(long_feed(40, "120 mm2")))
