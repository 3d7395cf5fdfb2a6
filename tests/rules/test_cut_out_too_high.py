"""A cut-out opens no higher than its load bears (IEC 60204-1, 7.4: abnormal temperature; from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "cut-out-too-high"


def plan(opens: str = ", opens_at: 180 °C", bears: str = ", bears: 200 °C") -> str:
    return f"""
parts:
  E1: {{kind: heater, rated: 230 V AC 500 W{bears}}}
  F1: {{kind: thermal-cut-out, contacts: {{1-2: NC}}, protects: E1{opens}}}
"""


@pytest.mark.parametrize(("opens_c", "told"), [(180, False), (200, False), (201, True)])
def test_the_limit_is_what_the_load_bears(opens_c: int, told: bool) -> None:
    assert bool(fired(SLUG, design(plan(f", opens_at: {opens_c} °C")))) is told


@pytest.mark.parametrize(("keys", "name"), [({"opens": ""}, "F1"), ({"bears": ""}, "E1")])
def test_what_is_not_said_is_asked(keys: dict[str, str], name: str) -> None:
    assert [one.subjects for one in open_questions(SLUG, design(plan(**keys)))] == [(name,)]


def test_what_it_says() -> None:
    """The data of the load, 200 °C in this test, and 260 °C of the cut-out."""
    [finding] = fired(SLUG, design(plan(", opens_at: 260 °C")))
    assert_says(
        finding,
        "CAUTION",
        limit=(200.0, "°C", "data of the load highest temperature"),
        number=("opens at", 260.0, "°C"),
        mend="opens at 200 °C at most",
    )
