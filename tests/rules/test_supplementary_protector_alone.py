"""Supplementary protectors as the only device of a branch: NFPA 79 7.2.9 (from memory), UL 1077, UL 248-14."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "supplementary-protector-alone"


def body(device: str, upstream: float = 20, size: str = "14 AWG") -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, upstream: {{kind: breaker, rating: {upstream} A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 20 A}}
  F1: {device}
  E1: {{kind: load, rated: 120 V AC 500 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 12 AWG, insulation: MTW, length: 1 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: {size}, insulation: MTW, length: 1 m}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 12 AWG, insulation: MTW, length: 1 m}}
"""


# 14 AWG stands behind 15 A, 12 AWG behind 20 A (NFPA 70 240.4(D)); only a branch device counts for that.
@pytest.mark.parametrize(
    ("device", "upstream", "size", "fires"),
    [
        ("{kind: breaker, rating: 10 A, curve: C, standard: supplementary}", 20, "14 AWG", True),
        ("{kind: breaker, rating: 10 A, curve: C}", 20, "14 AWG", False),
        ("{kind: breaker, rating: 10 A, curve: C, standard: supplementary}", 15, "14 AWG", False),
        ("{kind: breaker, rating: 10 A, curve: C, standard: supplementary}", 20, "12 AWG", False),
        ("{kind: fuse, rating: 10 A, class: midget}", 20, "14 AWG", True),
        ("{kind: fuse, rating: 10 A, class: T}", 20, "14 AWG", True),
        ("{kind: fuse, rating: 10 A, class: CC}", 20, "14 AWG", False),
    ],
)
def test_only_a_branch_device_guards_a_branch(device: str, upstream: float, size: str, fires: bool) -> None:
    found = fired(SLUG, design(body(device, upstream, size), "na"))
    assert [finding.subjects for finding in found] == ([("F1", "2")] if fires else [])


# A branch device of the building counts for a drive up to what its maker allows: 20 A against 16 and 25 A.
@pytest.mark.parametrize(("most", "fires"), [(16, True), (25, False)])
def test_a_drive_behind_a_supplementary_protector_has_the_device_of_the_building(most: int, fires: bool) -> None:
    text = body("{kind: breaker, rating: 10 A, curve: C, standard: supplementary}", size="12 AWG")
    text = (
        text.replace(
            "{kind: load, rated: 120 V AC 500 W, metal: false}",
            f"{{kind: inverter, supply: 120 V AC, phases: 1, rated: 0.4 kW, max_fuse: {most} A}}",
        )
        .replace("E1:1", "E1:L")
        .replace("to: E1:2", 'to: "E1:N"')
    )
    assert [finding.subjects for finding in fired(SLUG, design(text, "na"))] == ([("F1", "2")] if fires else [])


def test_behind_a_supply_it_may_serve() -> None:
    text = """
mains: {inlet: X0, system: single-phase, voltage: 120 V, upstream: {kind: breaker, rating: 20 A, curve: C}}
parts:
  X0: {kind: inlet, rated: 20 A}
  G1: {kind: supply, input: 120 V AC, output: 24 V DC, rated: 20 A}
  F1: {kind: breaker, rating: 4 A, curve: C, standard: supplementary}
  E1: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, from: X0:L, to: G1:L, size: 12 AWG, insulation: MTW, length: 1 m}
  - {wire: 2, from: "X0:N", to: "G1:N", size: 12 AWG, insulation: MTW, length: 1 m}
  - {wire: 3, from: G1:V+, to: F1:1, size: 12 AWG, insulation: MTW, length: 1 m}
  - {wire: 4, from: F1:2, to: E1:1, size: 18 AWG, insulation: MTW, length: 1 m}
  - {wire: 5, from: G1:V-, to: E1:2, size: 12 AWG, insulation: MTW, length: 1 m}
"""
    assert fired(SLUG, design(text, "na")) == []


def test_what_it_says() -> None:
    """NFPA 70 240.4(D): 14 AWG stands behind 15 A; the branch device has 20 A."""
    [finding] = fired(SLUG, design(body("{kind: breaker, rating: 10 A, curve: C, standard: supplementary}"), "na"))
    assert_says(
        finding,
        "WARNING",
        limit=(15.0, "A", "NFPA 79 table 12.5.1, as NFPA 70 table 310.16"),
        number=("branch device", 20.0, "A"),
        mend="thick enough for 20 A",
    )
