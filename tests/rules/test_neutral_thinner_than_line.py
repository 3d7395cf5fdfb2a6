"""The neutral of a two-wire circuit is as thick as its line (IEC 60364-5-52, 524.2.1, from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says

SLUG = "neutral-thinner-than-line"


def body(line: str, neutral: str) -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 6 A, curve: B}}}}
parts:
  X0: {{kind: inlet}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false, at: cabinet}}
wires:
  - {{wire: 1, from: X0:L, to: E1:1, size: {line}, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: E1:2, size: {neutral}, length: 1 m}}
"""


@pytest.mark.parametrize(
    ("line", "neutral", "fires"),
    [
        ("1.5 mm2", "0.75 mm2", True),
        ("1.5 mm2", "1.5 mm2", False),
        ("1.5 mm2", "2.5 mm2", False),
        ("25 mm2", "16 mm2", True),
    ],
)
def test_whatever_the_size(line: str, neutral: str, fires: bool) -> None:
    assert [finding.subjects for finding in fired(SLUG, design(body(line, neutral)))] == (
        [("2", "1", "E1")] if fires else []
    )


def test_it_points_at_the_neutral() -> None:
    assert_marked(
        body("1.5 mm2", "0.75 mm2").replace("size: 0.75 mm2, length: 1 m}", f"size: 0.75 mm2, length: 1 m}} #! {SLUG}")
    )


def test_the_neutral_of_three_lines_is_left_alone() -> None:
    """IEC 60364-5-52, 524.2.3: above 16 mm2 it may be thinner where the lines are balanced."""
    text = """
mains: {inlet: X0, system: three-phase, voltage: 400 V}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  Q0: {kind: disconnector, poles: 4, rated: 63 A}
wires:
  - {wire: 1, from: X0:L1, to: Q0:1, size: 25 mm2, length: 1 m}
  - {wire: 2, from: X0:L2, to: Q0:3, size: 25 mm2, length: 1 m}
  - {wire: 3, from: X0:L3, to: Q0:5, size: 25 mm2, length: 1 m}
  - {wire: 4, from: "X0:N", to: Q0:7, size: 16 mm2, length: 1 m}
"""
    assert fired(SLUG, design(text)) == []


def test_what_it_says() -> None:
    """IEC 60364-5-52 524.2: as thick as the line, 1.5 mm2."""
    [finding] = fired(SLUG, design(body("1.5 mm2", "0.75 mm2")))
    assert_says(
        finding,
        "CAUTION",
        limit=(1.5, "mm2", "IEC 60364-5-52 524.2"),
        number=("neutral", 0.75 * 1e-6, "m2"),
        mend="Make 2 of 1.5 mm2",
    )
