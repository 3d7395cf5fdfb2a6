"""Conductors a terminal: the maker's word, two where nobody says so (common practice; IEC 60204-1, 13.1.1)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "terminal-overfilled"


def fan_out(count: int, target: str, mark: str = "") -> str:
    lamps = [f"H{n}: {{kind: lamp, rated: 24 V DC 1 W}}" for n in range(count)]
    parts = "\n".join(
        [target, *lamps, f"X20: {{kind: terminals, points: {count + 1}, bridged: [1-{count + 1}]}}"],
    )
    name = target.split(":")[0]
    lines = [f"- {{wire: {n}, from: '{name}:1', to: H{n}:X1}}" for n in range(count)]
    lines[-1] += mark
    returns = [f"- {{wire: r{n}, from: X20:{n + 1}, to: H{n}:X2}}" for n in range(count)]
    return plan(parts, "\n".join(lines + returns))


def test_three_at_a_point_of_a_row() -> None:
    assert_marked(fan_out(3, "X9: {kind: terminals, points: 1}", "   #! terminal-overfilled"))


def test_two_in_a_single_clamp() -> None:
    assert_marked(fan_out(2, "X9: {kind: terminals, points: 1, wires_per_terminal: 1}", "   #! terminal-overfilled"))


@pytest.mark.parametrize(("limit", "count", "fires"), [(1, 1, False), (1, 2, True), (3, 3, False), (3, 4, True)])
def test_the_makers_word_is_the_limit(limit: int, count: int, fires: bool) -> None:
    body = fan_out(count, f"X9: {{kind: terminals, points: 1, wires_per_terminal: {limit}}}")
    assert bool(fired(SLUG, design(body))) is fires


def test_two_at_a_terminal_of_unknown_capacity_are_not_judged_and_three_are_too_many() -> None:
    switch = "S9: {kind: push-button, contacts: {1-2: NO}}"
    assert fired(SLUG, design(fan_out(2, switch))) == []
    assert any("S9" in question.subjects for question in open_questions(SLUG, design(fan_out(2, switch))))
    assert len(fired(SLUG, design(fan_out(3, switch)))) == 1


@given(st.integers(1, 5), st.integers(1, 5))
def test_it_fires_exactly_above_the_limit(limit: int, count: int) -> None:
    body = fan_out(count, f"X9: {{kind: terminals, points: 1, wires_per_terminal: {limit}}}")
    assert bool(fired(SLUG, design(body))) is (count > limit)


def test_what_it_says() -> None:
    """IEC 60204-1 13.1.1: as many as the maker allows, 1; the plan has 2."""
    [finding] = fired(SLUG, design(fan_out(2, "X9: {kind: terminals, points: 1, wires_per_terminal: 1}")))
    assert_says(
        finding, "CAUTION", limit=(1.0, "", "IEC 60204-1 13.1.1"), number=("conductors", 2.0, ""), mend="Move 1 of them"
    )
