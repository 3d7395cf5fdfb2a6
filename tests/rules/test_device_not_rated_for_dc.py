"""AC devices in DC circuits."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.findings import Signal

SLUG = "device-not-rated-for-dc"


def rail(volts: int, device: str) -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 10 A, overload: {{mode: hiccup, limit: 110 %}}}}
  F1: {device}
  E1: {{kind: load, rated: {volts} V DC 24 W}}
wires:
  - {{wire: 1, from: G1:V+, to: F1:1, size: 2.5 mm2, length: 0.3 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: G1:V-, to: E1:2, size: 2.5 mm2, length: 1 m}}
"""


def test_the_finding_points_at_the_voltage() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 48 V DC, rated: 10 A, overload: {mode: constant-current, limit: 150 %}}
  F1:
    kind: breaker
    rating: 4 A
    curve: B
    breaking: 6 kA
    rated_voltage: 400 V AC        #! device-not-rated-for-dc
  E1: {kind: load, rated: 48 V DC 60 W}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 2.5 mm2, length: 0.3 m}
  - {wire: 2, from: F1:2, to: E1:1, size: 2.5 mm2, length: 1 m}
  - {wire: 3, from: G1:V-, to: E1:2, size: 2.5 mm2, length: 1 m}
""")


@pytest.mark.parametrize(
    ("volts", "marking", "signal"),
    [
        (48, "rated_voltage: 48 V DC", None),
        (48, "rated_voltage: 47 V DC", Signal.CAUTION),
        (48, "rated_voltage: 400 V AC, dc_voltage: 60 V DC", None),
        (60, "rated_voltage: 400 V AC", Signal.CAUTION),
        (72, "rated_voltage: 400 V AC", Signal.WARNING),
    ],
)
def test_the_marking_and_nothing_else_counts(volts: int, marking: str, signal: Signal | None) -> None:
    found = fired(SLUG, design(rail(volts, f"{{kind: breaker, rating: 2 A, curve: B, breaking: 6 kA, {marking}}}")))
    assert [item.signal for item in found] == ([signal] if signal else [])


def test_a_device_without_a_marking_is_not_judged() -> None:
    found = design(rail(48, "{kind: fuse, rating: 2 A, class: gG}"))
    assert not fired(SLUG, found)
    assert [item.subjects for item in open_questions(SLUG, found)] == [("F1",)]


def test_an_electronic_fuse_is_made_for_it() -> None:
    found = design(rail(24, "{kind: electronic-fuse, rating: 2 A}"))
    assert not fired(SLUG, found)
    assert not open_questions(SLUG, found)


def test_what_it_says() -> None:
    """The device is marked 47 V and stands in a circuit of 48 V."""
    [finding] = fired(
        SLUG, design(rail(48, "{kind: breaker, rating: 4 A, curve: B, breaking: 6 kA, rated_voltage: 47 V DC}"))
    )
    assert_says(
        finding,
        "CAUTION",
        limit=(47.0, "V DC", "IEC 60898-1 1, alternating current only"),
        number=("circuit", 48.0, "V"),
        mend="60 V DC",
    )
