"""IEC 60947-4-3, coordination: what the device ahead lets through against what the junction bears. A fuse of which the
plan says that it lets 640 A2s through destroys 72 A2s and spares 1800 A2s; a breaker of 6 A that opens in half a cycle
of 50 Hz at 1 kA lets 1000^2 * 0.01 = 10 000 A2s through."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

from wiring.findings import Signal

SLUG = "semiconductor-burns-before-device-opens"
FUSE = "kind: fuse, rating: 10 A, class: gG, i2t: 640 A2s"


def switched(i2t: str, device: str = FUSE, ka: str = "3 kA") -> str:
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: {ka}}}
parts:
  X0: {{kind: inlet}}
  F1: {{{device}}}
  V1: {{kind: solid-state-relay, control: 4..32 V DC, rated: 25 A, rated_voltage: 24..280 V AC{i2t}}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 1.5 mm2, length: 0.5 m}}
  - {{wire: 2, from: F1:2, to: V1:1, size: 1.5 mm2, length: 0.5 m}}
  - {{wire: 3, from: V1:2, to: E1:1, size: 1.5 mm2, length: 0.5 m}}
  - {{wire: 4, from: E1:2, to: "X0:N", size: 1.5 mm2, length: 0.5 m}}
"""


@pytest.mark.parametrize(
    ("bears", "told"), [("72 A2s", True), ("639 A2s", True), ("640 A2s", False), ("1800 A2s", False)]
)
def test_the_fuse_must_let_less_through_than_it_bears(bears: str, told: bool) -> None:
    assert bool(fired(SLUG, design(switched(f", i2t: {bears}")))) is told


def test_behind_a_breaker_it_is_replaced_after_a_short_circuit() -> None:
    breaker = "kind: breaker, rating: 6 A, curve: C, breaking: 6 kA"
    [finding] = fired(SLUG, design(switched(", i2t: 300 A2s", breaker, "1 kA")))
    assert finding.signal is Signal.NOTICE
    assert finding.numbers[0].value <= 10_000.0


def test_what_it_bears_is_asked() -> None:
    assert [one.subjects for one in open_questions(SLUG, design(switched("")))] == [("V1",)]


def test_what_it_says() -> None:
    """The plan gives 72 A2s of the relay and 640 A2s of the fuse."""
    [finding] = fired(SLUG, design(switched(", i2t: 72 A2s")))
    assert finding.subjects == ("V1", "F1")
    assert_says(
        finding,
        "CAUTION",
        limit=(72.0, "A2s", "IEC 60947-4-3 8.2.5, coordination"),
        number=("let through", 640.0, "A2s"),
        mend="a fuse for semiconductors ahead of it",
    )
