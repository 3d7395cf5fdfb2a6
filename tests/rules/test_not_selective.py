"""Two devices in a row of which not only the nearer one opens."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "not-selective"


def row(upper: str, lower: str) -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 100 A,
       overload: {{mode: constant-current, limit: 150 %}}}}
  F1: {upper}
  F2: {lower}
  E1: {{kind: load, rated: 24 V DC 12 W}}
wires:
  - {{wire: 1, from: G1:V+, to: F1:1, size: 25 mm2, length: 0.3 m}}
  - {{wire: 2, from: F1:2, to: F2:1, size: 25 mm2, length: 0.3 m}}
  - {{wire: 3, from: F2:2, to: E1:1, size: 25 mm2, length: 1 m}}
  - {{wire: 4, from: G1:V-, to: E1:2, size: 25 mm2, length: 1 m}}
"""


def gg(rating: float) -> str:
    return f"{{kind: fuse, rating: {rating} A, class: gG}}"


# IEC 60269-1, 5.6.3: fuses gG from 16 A on are selective in a ratio of 1.6.
@pytest.mark.parametrize(
    ("upper", "lower", "fires"), [(40, 25, False), (32, 25, True), (25, 20, True), (32, 20, False)]
)
def test_two_fuses_by_their_ratio(upper: float, lower: float, fires: bool) -> None:
    found = fired(SLUG, design(row(gg(upper), gg(lower))))
    assert [item.subjects for item in found] == ([("F2", "F1")] if fires else [])


def test_one_device_alone_is_selective() -> None:
    body = row(gg(4), gg(4)).replace("to: F2:1", "to: E1:1").replace("from: F2:2, to: E1:1", "from: F2:2, to: F2:1")
    assert not fired(SLUG, design(body))


def test_mains_without_a_prospective_current_are_not_judged() -> None:
    body = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz,
        upstream: {kind: fuse, rating: 16 A, class: gG}}
parts:
  X0: {kind: inlet}
  F1: {kind: fuse, rating: 10 A, class: gG}
  E1: {kind: load, rated: 230 V AC 100 W}
wires:
  - {wire: 1, from: X0:L, to: F1:1, size: 4 mm2, length: 1 m}
  - {wire: 2, from: F1:2, to: E1:1, size: 4 mm2, length: 1 m}
  - {wire: 3, from: "X0:N", to: E1:2, size: 4 mm2, length: 1 m}
"""
    assert not fired(SLUG, design(body))
    assert "fault_current" in open_questions(SLUG, design(body))[0].missing


def test_what_it_says() -> None:
    """IEC 60269-1 table 3, 150 A from the supply: gG 32 A may open in 0.1 s from 150 A on, gG 25 A surely opens in 5 s
    from 110 A, in 0.1 s from 260 A."""
    [finding] = fired(SLUG, design(row(gg(32), gg(25))))
    assert_says(finding, "NOTICE", number=("latest", 5.0, "s"), mend="ratio of 2")
