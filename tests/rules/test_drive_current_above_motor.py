"""Settings of stepper drives against the ratings of their motors."""

from __future__ import annotations

from math import sqrt

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired
from says import assert_says

from wiring.findings import Signal

SLUG = "drive-current-above-motor"


def pair(setting: str, rating: str) -> str:
    return f"""
parts:
  D1: {{kind: stepper-drive, supply: 20..50 V DC, phase_current: {setting}}}
  M1: {{kind: stepper-motor, phase_current: {rating}, phase_resistance: 0.75 ohm, metal: false}}
wires:
  - {{wire: 1, from: D1:A+, to: M1:A+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: D1:A-, to: M1:A-, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: D1:B+, to: M1:B+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 4, from: D1:B-, to: M1:B-, size: 2.5 mm2, length: 1 m}}
"""


def test_the_finding_points_at_the_setting() -> None:
    body = pair("4.2 A rms", "4.2 A peak").replace(
        "  D1: {kind: stepper-drive, supply: 20..50 V DC, phase_current: 4.2 A rms}",
        "  D1:\n    kind: stepper-drive\n    supply: 20..50 V DC\n"
        "    phase_current: 4.2 A rms   #! drive-current-above-motor",
    )
    assert_marked(body)


# A motor rated per phase heats as the same effective value does, so 3 A per phase are 4.243 A peak; five per cent are
# the coarseness of switches (common practice): 4.455 A.
@pytest.mark.parametrize(
    ("setting", "signal"),
    [
        ("4.24 A peak", None),
        ("4.45 A peak", None),
        ("4.46 A peak", Signal.CAUTION),
        ("3.19 A peak", None),
        ("3.17 A peak", Signal.NOTICE),
        ("4.24 A rms", Signal.CAUTION),
    ],
)
def test_peak_and_effective_values_are_told_apart(setting: str, signal: Signal | None) -> None:
    found = fired(SLUG, design(pair(setting, "3 A per-phase")))
    assert [item.signal for item in found] == ([signal] if signal else [])


@pytest.mark.parametrize(("setting", "effect"), [("4.24 A rms", "100 % more heat"), ("3 A peak", "29 % less torque")])
def test_the_common_mistake_is_named(setting: str, effect: str) -> None:
    """Joule's law: the root of 2 doubles the heat; torque goes with the current, 1 - 0.707."""
    found = fired(SLUG, design(pair(setting, "3 A rms")))
    assert "peak value taken for an effective one" in found[0].summary
    assert effect in found[0].summary


@pytest.mark.parametrize(("rms", "named"), [(2.94, True), (2.97, False), (2.72, True), (2.69, False)])
def test_the_mistake_is_named_near_its_ratio_alone(rms: float, named: bool) -> None:
    """1 over the root of 2 is 0.7071; within 0.03 of it, 0.677 to 0.737, 4 A are 2.71 to 2.95 A (own choice)."""
    [finding] = fired(SLUG, design(pair(f"{rms} A rms", "4 A rms")))
    assert ("peak value taken" in finding.summary) is named


@given(st.floats(0.5, 8.0), st.floats(0.5, 8.0))
def test_the_way_of_writing_changes_nothing(setting: float, rating: float) -> None:
    plain = fired(SLUG, design(pair(f"{setting!r} A rms", f"{rating!r} A rms")))
    peaks = fired(SLUG, design(pair(f"{setting * sqrt(2)!r} A peak", f"{rating * sqrt(2)!r} A peak")))
    assert len(plain) == len(peaks)


def test_what_it_says() -> None:
    """3 A rms are 3 x sqrt(2) = 4.24 A peak; the drive is set to 4.24 A rms."""
    [finding] = fired(SLUG, design(pair("4.24 A rms", "3 A rms")))
    assert_says(
        finding,
        "CAUTION",
        limit=(3.0, "A", "data of the part phase current as an effective value"),
        number=("setting", 4.24, "A"),
        mend="which is 4.24 A peak",
    )
