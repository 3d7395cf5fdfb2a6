"""A brake holds the weight (IEC 60204-1, 4.1, from memory) with half as much again (common practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired, open_questions
from says import assert_says

from wiring.findings import Signal

SLUG = "brake-too-weak"


def body(torque: str, gravity: str, more: str = ", vertical: true") -> str:
    return f"""
parts:
  M1: {{kind: stepper-motor, phase_current: 4 A peak, phase_resistance: 1 ohm, metal: false{gravity}{more}}}
  Y1: {{kind: brake, rated: 24 V DC 10 W, holds: M1, apply: 30 ms, suppressor: zener{torque}}}
"""


# Moments about the shaft: the brake holds while its torque is at least that of the weight.
@pytest.mark.parametrize(
    ("torque", "signal"),
    [(0.79, Signal.WARNING), (0.81, Signal.CAUTION), (1.19, Signal.CAUTION), (1.2, None), (2.0, None)],
)
def test_the_weight_and_half_as_much_again(torque: float, signal: Signal | None) -> None:
    found = fired(SLUG, design(body(f", torque: {torque} N·m", ", gravity_torque: 0.8 N·m")))
    assert [one.signal for one in found] == ([signal] if signal else [])


def test_the_finding_names_the_brake_the_limit_and_a_brake_that_holds() -> None:
    [finding] = fired(SLUG, design(body(", torque: 0.4 N·m", ", gravity_torque: -0.8 N·m")))
    assert finding.subjects == ("Y1", "M1")
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(0.8)
    assert [number.value for number in finding.numbers] == pytest.approx([0.4, 0.8])
    assert "1.2 N·m or more" in finding.mend[0]


@pytest.mark.parametrize(
    ("torque", "gravity", "missing"),
    [("", ", gravity_torque: 1 N·m", "`torque`"), (", torque: 1 N·m", "", "`gravity_torque`")],
)
def test_what_is_not_known_is_asked_for(torque: str, gravity: str, missing: str) -> None:
    found = design(body(torque, gravity))
    assert fired(SLUG, found) == []
    [question] = open_questions(SLUG, found)
    assert missing in question.missing
    assert question.signal is Signal.WARNING


def test_a_load_that_stays_where_it_is_asks_nothing() -> None:
    for more in ("", ", vertical: true, self_locking: true"):
        found = design(body("", "", more))
        assert fired(SLUG, found) == []
        assert open_questions(SLUG, found) == []


@given(st.floats(0.05, 5.0), st.floats(0.05, 5.0))
def test_a_stronger_brake_is_never_worse(first: float, second: float) -> None:
    weak, strong = sorted((first, second))
    gravity = ", gravity_torque: 1 N·m"
    if not fired(SLUG, design(body(f", torque: {weak:.3f} N·m", gravity))):
        assert not fired(SLUG, design(body(f", torque: {strong:.3f} N·m", gravity)))


def test_what_it_says() -> None:
    """Moments about the shaft: 0.4 N·m do not hold 0.8 N·m; common practice asks for one and a half times as much."""
    [finding] = fired(SLUG, design(body(", torque: 0.4 N·m", ", gravity_torque: 0.8 N·m")))
    assert_says(
        finding,
        "WARNING",
        limit=(0.8, "N·m", "statics moments about the shaft"),
        number=("brake", 0.4, "N·m"),
        mend="1.2 N·m or more",
    )
