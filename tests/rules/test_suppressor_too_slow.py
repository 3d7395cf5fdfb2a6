"""A plain diode lets a coil go three to five times later (table coil_suppression: two published factors)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired, open_questions
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "suppressor-too-slow"


def brake(word: str, apply_ms: float | None = 30.0, motor: str = "vertical: true") -> str:
    given_time = f", apply: {apply_ms} ms" if apply_ms is not None else ""
    return plan(
        f"""
        M1: {{kind: servo-motor, rated_power: 400 W, {motor}, metal: false, hazardous: false}}
        Y1: {{kind: brake, rated: 24 V DC 12 W, holds: M1{given_time}, suppressor: {word}}}   #! suppressor-too-slow
        """,
        "- {wire: 1, from: X1:2, to: Y1:A1}\n- {wire: 2, from: X2:2, to: Y1:A2}",
    )


def test_the_brake_of_a_vertical_axis() -> None:
    """Its coil hangs on the rail for good as well, which is told apart."""
    made = design(brake("diode"))
    [finding] = fired(SLUG, made)
    assert finding.subjects[0] == "Y1"
    assert finding.place is not None


@pytest.mark.parametrize("word", ["zener", "varistor", "rc"])
def test_quick_suppressors_are_right(word: str) -> None:
    assert fired(SLUG, design(brake(word))) == []


@pytest.mark.parametrize("motor", ["vertical: false", "vertical: true, self_locking: true"])
def test_an_axis_that_does_not_fall_may_wait(motor: str) -> None:
    assert fired(SLUG, design(brake("diode", motor=motor))) == []


@given(st.floats(5.0, 100.0))
def test_the_fall_is_half_g_t_squared(apply_ms: float) -> None:
    """Five times the time (the longest published factor), and a free fall of g/2 t2 (mechanics)."""
    apply_ms = round(apply_ms, 1)
    [finding] = fired(SLUG, design(brake("diode", apply_ms)))
    fall = next(number for number in finding.numbers if number.name == "free fall")
    assert fall.value == pytest.approx(0.5 * 9.81 * (5 * apply_ms / 1000) ** 2, rel=1e-6)


def test_without_a_time_it_is_not_judged() -> None:
    assert "apply" in open_questions(SLUG, design(brake("diode", None)))[0].missing


def test_contactors_are_one_notice() -> None:
    body = plan(
        "Q1: {kind: contactor, coil: 24 V DC 3 W, suppressor: diode}\n"
        "Q2: {kind: contactor, coil: 24 V DC 3 W, suppressor: diode}",
        "- {wire: 1, through: [X1:2, Q1:A1, Q2:A1]}\n- {wire: 2, through: [X2:2, Q1:A2, Q2:A2]}",
    )
    [finding] = fired(SLUG, design(body))
    assert finding.signal is Signal.NOTICE
    assert finding.subjects == ("Q1", "Q2")


def test_what_it_says() -> None:
    """A plain diode makes a release up to five times as long (common practice): 5 x 30 ms, in which a load falls g
    t²/2."""
    [finding] = fired(SLUG, design(brake("diode")))
    assert_says(
        finding,
        "CAUTION",
        limit=(5 * 0.030, "s", "common practice release time"),
        number=("free fall", 0.5 * 9.81 * (5 * 0.030) ** 2, "m"),
        mend="Give Y1 a zener",
    )
