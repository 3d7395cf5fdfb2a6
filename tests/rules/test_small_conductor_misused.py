"""18 and 16 AWG in power circuits: NFPA 70 240.4(D)(1), (D)(2) and 430.22(G)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "small-conductor-misused"


def body(device: str, size: str, watts: float) -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, upstream: {{kind: breaker, rating: 20 A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 20 A}}
  F1: {device}
  E1: {{kind: load, rated: 120 V AC {watts} W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 12 AWG, insulation: MTW, length: 1 cm}}
  - {{wire: 2, from: F1:2, to: E1:1, size: {size}, insulation: MTW, length: 1 cm}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 12 AWG, insulation: MTW, length: 1 cm}}
"""


def fuse(fuse_class: str) -> str:
    return f"{{kind: fuse, rating: 7 A, class: {fuse_class}}}"


@pytest.mark.parametrize(
    ("fuse_class", "fires"), [("CC", False), ("J", False), ("T-UL", False), ("RK1", True), ("RK5", True), ("T", True)]
)
def test_the_classes_that_may_stand_before_it(fuse_class: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(body(fuse(fuse_class), "18 AWG", 500.0), "na"))) is fires


# 18 AWG 5.6 A, 16 AWG 8 A; 14 AWG has no such limit.
@pytest.mark.parametrize(
    ("size", "watts", "fires"),
    [
        ("18 AWG", 665.0, False),
        ("18 AWG", 690.0, True),
        ("16 AWG", 950.0, False),
        ("16 AWG", 985.0, True),
        ("14 AWG", 1400.0, False),
    ],
)
def test_the_load(size: str, watts: float, fires: bool) -> None:
    assert bool(fired(SLUG, design(body("{kind: fuse, rating: 10 A, class: CC}", size, watts), "na"))) is fires


def test_a_breaker_is_asked_for_its_marking() -> None:
    found = design(body("{kind: breaker, rating: 7 A, curve: C}", "18 AWG", 500.0), "na")
    assert fired(SLUG, found) == []
    assert "marked" in open_questions(SLUG, found)[0].missing


def test_control_conductors_and_the_iec_book_have_their_own_rules() -> None:
    assert fired(SLUG, design(body(fuse("RK5"), "18 AWG", 500.0))) == []


def test_what_it_says() -> None:
    """NFPA 70 240.4(D): 18 AWG 5.6 A in a power circuit, of 690 W at 120 V."""
    [finding] = fired(SLUG, design(body(fuse("CC"), "18 AWG", 690.0), "na"))
    assert_says(
        finding,
        "CAUTION",
        limit=(5.6, "A", "NFPA 70 240.4(D), which follows NFPA 79 12.6.1"),
        number=("load", 690 / 120, "A"),
        mend="Make 2 of 14 AWG",
        rel=0.01,
    )
