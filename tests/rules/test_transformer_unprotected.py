"""Transformers that may be overloaded for ever."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says

from wiring.rules.transformer_unprotected import requirements

SLUG = "transformer-unprotected"


def fed(primary: str, secondary: str, rated: str = "100 VA") -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {{kind: breaker, rating: 16 A, curve: C}}}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: fuse, rating: {primary}, class: gG, rated_voltage: 250 V AC}}
  T1: {{kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: {rated}, inrush: 10 A}}
  F2: {{kind: fuse, rating: {secondary}, class: T, rated_voltage: 250 V AC, breaking: 1.5 kA}}
  E1: {{kind: load, rated: 24 V AC 20 W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 4 mm2, length: 1 m}}
  - {{wire: 2, from: F1:2, to: T1:1.1, size: 4 mm2, length: 1 m}}
  - {{wire: 3, from: "X0:N", to: T1:1.2, size: 4 mm2, length: 1 m}}
  - {{wire: 4, from: X0:PE, to: T1:PE, size: 4 mm2, colour: GNYE, length: 1 m}}
  - {{wire: 5, from: T1:2.1, to: F2:1, size: 2.5 mm2, length: 0.3 m}}
  - {{wire: 6, from: F2:2, to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 7, from: T1:2.2, to: E1:2, size: 2.5 mm2, length: 1 m}}
"""


def test_the_finding_points_at_the_rating() -> None:
    body = fed("4 A", "6.3 A").replace(
        "  T1: {kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 100 VA, inrush: 10 A}",
        "  T1:\n    kind: transformer\n    primary: 230 V AC\n    secondary: 24 V AC\n    inrush: 10 A\n"
        "    rated: 100 VA      #! transformer-unprotected",
    )
    assert_marked(body)


# IEC 60204-1, 7.2.7: 100 VA at 24 V are 4.167 A; the primary counts up to 1.25 x 0.4348 A = 0.543 A (common practice).
@pytest.mark.parametrize(
    ("primary", "secondary", "fires"),
    [("4 A", "4.16 A", False), ("4 A", "4.18 A", True), ("0.54 A", "6.3 A", False), ("0.55 A", "6.3 A", True)],
)
def test_the_limit_on_either_side(primary: str, secondary: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(fed(primary, secondary)))) is fires


# NFPA 70, table 450.3(B). 100 VA at 230 V: 0.435 A, below 2 A, 300 % alone, 1.304 A. 3 kVA: 13.04 A, alone 125 % and
# the next standard rating, 20 A; with a secondary device of up to 125 % (156 A, next 175 A) 250 %, 32.6 A.
@pytest.mark.parametrize(
    ("rated", "primary", "secondary", "fires"),
    [
        ("100 VA", "1.3 A", "10 A", False),
        ("100 VA", "1.31 A", "10 A", True),
        ("3 kVA", "32 A", "175 A", False),
        ("3 kVA", "33 A", "175 A", True),
        ("3 kVA", "20 A", "200 A", False),
        ("3 kVA", "25 A", "200 A", True),
    ],
)
def test_north_america(rated: str, primary: str, secondary: str, fires: bool) -> None:
    body = fed(primary, secondary, rated).replace("class: T,", "class: gG,").replace("rating: 16 A", "rating: 100 A")
    assert bool(fired(SLUG, design(body, "na"))) is fires


def test_a_transformer_that_nothing_feeds_is_not_told() -> None:
    body = fed("4 A", "6.3 A").replace("  - {wire: 2, from: F1:2, to: T1:1.1, size: 4 mm2, length: 1 m}\n", "")
    assert not fired(SLUG, design(body))


def in_the_other_conductor(rating: str) -> str:
    """The fuse of the secondary stands in 2.2; 2.1 is the side without any."""
    body = fed("4 A", rating)
    body = body.replace("from: T1:2.1, to: F2:1", "from: T1:2.2, to: F2:1")
    return body.replace("from: T1:2.2, to: E1:2", "from: T1:2.1, to: E1:2")


@pytest.mark.parametrize(("rating", "fires"), [("4.16 A", False), ("4.18 A", True)])
def test_a_fuse_in_either_conductor_of_the_secondary_counts(rating: str, fires: bool) -> None:
    found = fired(SLUG, design(in_the_other_conductor(rating)))
    assert [item.subjects for item in found] == ([("T1", "F2")] if fires else [])


# NFPA 70, table 450.3(B), 3 kVA at 230 V: a primary of 25 A is within 250 % (32.6 A) and beyond 125 % (16.3 A, next 20
# A); what is wrong is the secondary of 200 A (125 % of 125 A, next 175 A). A primary of 40 A is wrong whatever follows.
@pytest.mark.parametrize(("primary", "secondary", "side"), [("25 A", "200 A", "F2"), ("40 A", "200 A", "F1")])
def test_the_side_that_is_wrong_is_named(primary: str, secondary: str, side: str) -> None:
    body = fed(primary, secondary, "3 kVA").replace("class: T,", "class: gG,").replace("rating: 16 A", "rating: 100 A")
    (found,) = fired(SLUG, design(body, "na"))
    assert side in found.subjects
    assert ("its secondary device" in found.summary) is (side == "F2")
    assert found.limit is not None
    assert found.limit.value == (175.0 if side == "F2" else 20.0)


# NFPA 79, table 7.2.11 (from memory): 500 VA at 120 V, 5 A; NFPA 70, 450.3(B), would allow 167 % of 4.17 A = 6.96 A.
# The primary of 5 A is within 250 % of 2.17 A and beyond 167 % of it.
@pytest.mark.parametrize(("secondary", "fires"), [("5 A", False), ("6 A", True)])
def test_a_control_transformer_of_120_v_goes_by_its_own_table(secondary: str, fires: bool) -> None:
    body = fed("5 A", secondary, "500 VA").replace("24 V AC", "120 V AC").replace("class: T,", "class: gG,")
    found = fired(SLUG, design(body, "na"))
    assert [item.limit.value for item in found if item.limit] == ([5.0] if fires else [])
    assert not fires or "of 5 A or less in the secondary" in found[0].mend[0]


# NFPA 70, table 450.3(B): 100 VA at 120 V are 0.833 A, 167 % of it 1.39 A; the primary of 1.3 A is within 300 % alone.
@pytest.mark.parametrize(("secondary", "fires"), [("1.38 A", False), ("1.4 A", True)])
def test_a_secondary_device_that_never_opens_is_told_beside_a_good_primary(secondary: str, fires: bool) -> None:
    body = fed("1.3 A", secondary).replace("24 V AC", "120 V AC").replace("class: T,", "class: gG,")
    found = fired(SLUG, design(body, "na"))
    assert [item.subjects for item in found] == ([("T1", "F2")] if fires else [])


def test_what_it_says() -> None:
    """IEC 60204-1 7.2.7: no more than the rated current of 100 VA at 24 V; 4 A is the next standard rating below."""
    [finding] = fired(SLUG, design(fed("4 A", "4.18 A")))
    assert_says(
        finding,
        "CAUTION",
        limit=(100 / 24, "A", "IEC 60204-1 7.2.7 and 7.2.10"),
        number=("rated primary", 100 / 230, "A"),
        mend="4 A or less in the secondary",
    )


def test_of_two_devices_in_the_primary_the_nearer_is_asked() -> None:
    """One that guards is enough (IEC 60204-1, 7.2.7): the other may feed more than the transformer."""
    way = "from: X0:L, to: F1:1, size: 4 mm2, length: 1 m}"
    body = fed("0.54 A", "6.3 A").replace(
        way, f"{way.replace('F1', 'F9')}\n  - {{wire: 9, from: F9:2, {way.partition(', ')[2]}"
    )
    body = body.replace("parts:\n", "parts:\n  F9: {kind: fuse, rating: 6 A, class: gG, rated_voltage: 250 V AC}\n")
    assert [(one.item, one.most) for one in requirements(design(body))] == [("F1", pytest.approx(1.25 * 100 / 230))]


@pytest.mark.parametrize(
    ("primary", "secondary", "load", "fires"),
    [
        ("3.12 A", "2 A", "contactor, coil: 120 V AC 12 VA", False),
        ("3.13 A", "2 A", "contactor, coil: 120 V AC 12 VA", True),
        ("3.12 A", "2 A", "valve, rated: 120 V AC 12 VA", True),
        ("3.12 A", "3 A", "contactor, coil: 120 V AC 12 VA", True),
    ],
)
def test_a_motor_control_transformer_below_2_a_may_have_500_percent(
    primary: str, secondary: str, load: str, fires: bool
) -> None:
    """NFPA 70, 430.72(C)(4), from memory: 150 VA at 240 V are 0.625 A, 500 % are 3.125 A with a device of 167 % of
    1.25 A or less, 2.09 A, in its secondary; table 450.3(B) allows any other 300 %, 1.875 A."""
    body = fed(primary, secondary, "150 VA").replace(
        "primary: 230 V AC, secondary: 24 V AC", "primary: 240 V AC, secondary: 120 V AC"
    )
    body = body.replace("load, rated: 24 V AC 20 W", load)
    ends = ("A1", "A2") if "contactor" in load else ("1", "2")
    body = body.replace("E1:1", f"E1:{ends[0]}").replace("E1:2,", f"E1:{ends[1]},")
    assert bool(fired(SLUG, design(body, "na"))) is fires
