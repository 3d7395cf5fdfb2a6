"""IEC 60364-4-41, 411.5.3 (from memory): in a TT system RA x IdN is 50 V at most, the resistance of the electrode times
the residual current at which the device opens.

411.5.2 and 411.3.2.4: what nothing of the kind guards must be cleared by overcurrent, a circuit that distributes within
1 s; that takes an electrode of some ohms at the most."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

from wiring.design.design import Design

SLUG = "touch-voltage-too-high"


def tt(
    electrode: str = "electrode: 100 ohm, ",
    *,
    building: str = "rcd: {residual: 300 mA, type: A}, ",
    own: str = "30 mA",
    material: str = "painted-steel",
    earthing: str = "TT",
    measured: str = "",
) -> Design:
    return design(f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: {earthing}, {electrode}{building}
        fault_current: 500 A, upstream: {{kind: breaker, rating: 16 A, curve: C}}}}
enclosure: {{size: 400 x 400 x 200 mm, material: {material}}}
{measured}
parts:
  X0: {{kind: inlet}}
  Q1: {{kind: disconnector, poles: 2, rated: 25 A}}
  F1: {{kind: rcd, poles: 2, rated: 25 A, residual: {own}, type: A}}
  E1: {{kind: heater, rated: 230 V AC 1000 W}}
wires:
  - {{wire: 1, from: X0:L, to: Q1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: X0:N, to: Q1:3, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: Q1:2, to: F1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 4, from: Q1:4, to: F1:3, size: 2.5 mm2, length: 1 m}}
  - {{wire: 5, from: F1:2, to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 6, from: F1:4, to: E1:2, size: 2.5 mm2, length: 1 m}}
  - {{wire: 7, from: X0:PE, to: E1:PE, size: 2.5 mm2, length: 1 m}}
""")


@pytest.mark.parametrize(
    ("ohm", "own", "told"),
    [
        # 30 mA bear 1667 ohm, 300 mA 166.7 ohm, 10 mA 5 kohm
        (160, "30 mA", []),
        (170, "30 mA", ["the residual current device of the building"]),
        (170, "300 mA", ["F1 and the residual current device of the building"]),
        (1600, "30 mA", ["the residual current device of the building"]),
        (1700, "30 mA", ["F1", "the residual current device of the building"]),
        (4900, "10 mA", ["the residual current device of the building"]),
    ],
)
def test_electrode_times_residual_current(ohm: float, own: str, told: list[str]) -> None:
    found = [one.summary for one in fired(SLUG, tt(f"electrode: {ohm} ohm, ", own=own))]
    assert len(found) == len(told)
    assert all(any(f"at which {who} open" in one for one in found) for who in told), found


def test_the_measured_loop_stands_for_an_electrode_that_is_not_given() -> None:
    [finding] = fired(SLUG, tt("", building="rcd: {type: A}, ", measured="measured: {loop: 1700 ohm}"))
    assert "1.7 kohm of the electrode" in finding.summary


def test_the_mend_is_true_for_that_electrode() -> None:
    """50 V over 2.2 kohm are 22.7 mA: 10 mA is the next device that is sold, and 30 mA wants 1667 ohm. 66 V by hand."""
    [own] = [
        one for one in fired(SLUG, tt("electrode: 2.2 kohm, ", building="rcd: {type: A}, ")) if "F1" in one.subjects
    ]
    assert_says(
        own,
        "WARNING",
        limit=(50.0, "V", "IEC 60364-4-41 411.5.3"),
        number=("touch voltage", 66.0, "V"),
        mend="10 mA in place of 30 mA",
    )
    assert any("1.67 kohm" in way for way in own.mend)
    assert not any("300 mA" in way for way in own.mend)


@pytest.mark.parametrize(
    ("electrode", "building", "material", "told"),
    [
        ("28", "rcd: none, ", "painted-steel", True),  # 8.2 A, which no breaker of 16 A notices
        ("28", "rcd: none, ", "plastic", False),
        ("28", "rcd: {residual: 300 mA, type: A}, ", "painted-steel", False),
        ("1", "rcd: none, ", "painted-steel", False),  # 230 A: C 16 opens at 160 A at once
        ("1.6", "rcd: none, ", "painted-steel", True),  # 144 A: it may take longer than 1 s
    ],
)
def test_what_lies_ahead_of_the_first_residual_current_device(
    electrode: str, building: str, material: str, *, told: bool
) -> None:
    found = fired(SLUG, tt(f"electrode: {electrode} ohm, ", building=building, material=material))
    assert [one.subjects for one in found] == ([("Q1", "X0")] if told else [])


def test_what_is_not_said_is_asked() -> None:
    assert [one.missing.split(" (")[0] for one in open_questions(SLUG, tt(""))] == [
        "the resistance of the earth electrode"
    ]
    assert [one.missing.split(" (")[0] for one in open_questions(SLUG, tt(building=""))] == [
        "whether a residual current device of the building stands in front"
    ]
    assert open_questions(SLUG, tt()) == []


def test_other_systems_have_no_electrode_of_their_own() -> None:
    plan = tt("", earthing="TN-S", building="rcd: none, ")
    assert fired(SLUG, plan) == []
    assert open_questions(SLUG, plan) == []
