"""What comes on together behind one breaker."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.findings import Signal

SLUG = "inrush-trips-breaker"


def supplies(curve: str, peaks: list[str], rating: float = 6.0, contactor: bool = False) -> str:
    parts = "".join(
        f"  G{n}: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A, class: II{peak}}}\n"
        for n, peak in enumerate(peaks, 1)
    )
    ends = ", ".join(f"G{n}:L" for n in range(1, len(peaks) + 1))
    backs = ", ".join(f'"G{n}:N"' for n in range(1, len(peaks) + 1))
    if contactor:
        parts += "  K1: {kind: contactor, poles: 1, rated: 20 A, coil: 24 V DC 3 W, suppressor: diode}\n"
        ends = ends.replace("G1:L, ", "")
    feed = "  - {wire: 8, from: F1:2, to: K1:1}\n  - {wire: 9, from: K1:2, to: G1:L}\n" if contactor else ""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: breaker, rating: {rating} A, curve: {curve}, breaking: 6 kA}}
{parts}wires:
  - {{wire: 1, from: X0:L, to: F1:1}}
  - {{wire: 2, through: [F1:2, {ends}]}}
  - {{wire: 3, through: ["X0:N", {backs}]}}
{feed}"""


def test_the_finding_points_at_the_breaker() -> None:
    assert_marked("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {kind: fuse, rating: 16 A, class: gG}}
parts:
  X0: {kind: inlet}
  F1: {kind: breaker, rating: 6 A, curve: B, breaking: 6 kA}      #! inrush-trips-breaker
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, inrush: 30 A}
  E1: {kind: load, rated: 24 V DC 60 W}
wires:
  - {wire: 1, from: X0:L, to: F1:1, size: 4 mm2, length: 1 m}
  - {wire: 2, from: F1:2, to: G1:L, size: 2.5 mm2, length: 1 m}
  - {wire: 3, from: "X0:N", to: "G1:N", size: 4 mm2, length: 1 m}
  - {wire: 4, from: X0:PE, to: G1:PE, size: 4 mm2, colour: GNYE, length: 1 m}
  - {wire: 5, from: G1:V+, to: E1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 6, from: G1:V-, to: E1:2, size: 1.5 mm2, length: 1 m}
""")


# IEC 60898-1, table 7: the magnetic release holds up to 3 (B), 5 (C) and 10 (D) times the rated current.
@pytest.mark.parametrize(("curve", "holds"), [("B", 18.0), ("C", 30.0), ("D", 60.0)])
def test_the_limit_is_where_the_release_may_trip(curve: str, holds: float) -> None:
    assert not fired(SLUG, design(supplies(curve, [f", inrush: {holds} A"])))
    assert fired(SLUG, design(supplies(curve, [f", inrush: {holds + 0.1} A"])))


def test_supplies_behind_one_breaker_add_up() -> None:
    """Three of 10 A are 30 A, which C6 just holds; a fourth is too much, and three are allowed."""
    assert not fired(SLUG, design(supplies("C", [", inrush: 10 A"] * 3)))
    found = fired(SLUG, design(supplies("C", [", inrush: 10 A"] * 4)))
    assert [number.value for number in found[0].numbers] == [40.0, 3.0]


def test_what_a_contactor_switches_later_does_not_add_to_the_rest() -> None:
    assert not fired(SLUG, design(supplies("C", [", inrush: 20 A", ", inrush: 20 A"], contactor=True)))
    assert fired(SLUG, design(supplies("C", [", inrush: 20 A", ", inrush: 20 A"])))


def test_an_unknown_peak_is_not_judged_unless_the_rest_is_too_much() -> None:
    some = design(supplies("C", [", inrush: 10 A", ""]))
    assert not fired(SLUG, some)
    assert [item.subjects for item in open_questions(SLUG, some)] == [("G2",)]
    assert fired(SLUG, design(supplies("C", [", inrush: 40 A", ""])))


def test_the_breaker_of_the_building_is_a_notice() -> None:
    body = supplies("C", [", inrush: 25 A"]).replace(
        "fault_current: 1 kA", "fault_current: 1 kA, upstream: {kind: breaker, rating: 6 A, curve: B}"
    )
    assert [item.signal for item in fired(SLUG, design(body))] == [Signal.NOTICE]


@given(st.lists(st.floats(0.5, 30.0), min_size=1, max_size=5))
def test_one_more_supply_never_helps(peaks: list[float]) -> None:
    texts = [f", inrush: {peak:.2f} A" for peak in peaks]
    if fired(SLUG, design(supplies("C", texts))):
        assert fired(SLUG, design(supplies("C", [*texts, ", inrush: 1 A"])))


def test_what_it_says() -> None:
    """IEC 60898-1 table 7: curve B may trip from 3 times 6 A, curve C from 5 times; the supply draws 18.1 A."""
    [finding] = fired(SLUG, design(supplies("B", [", inrush: 18.1 A"])))
    assert_says(
        finding, "CAUTION", limit=(3 * 6, "A", "IEC 60898-1 table 7"), number=("peak", 18.1, "A"), mend="curve C, 6 A"
    )


def test_a_breaker_without_a_curve_is_not_judged() -> None:
    """A release of unknown kind holds nobody knows what."""
    body = supplies("C", [", inrush: 90 A"]).replace(", curve: C", "")
    assert fired(SLUG, design(body)) == []
    assert [item.subjects for item in open_questions(SLUG, design(body)) if "curve" in item.missing] == [("F1",)]


def test_how_many_fit_is_told_from_two_alike_on() -> None:
    """IEC 60898-1 table 7: a C 6 holds up to 5 times 6 A, in which one peak of 18 A fits, and no second one."""
    [finding] = fired(SLUG, design(supplies("C", [", inrush: 18 A"] * 2)))
    assert [number.value for number in finding.numbers if number.name == "allowed behind it"] == [1]
