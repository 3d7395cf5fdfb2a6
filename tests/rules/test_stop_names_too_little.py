"""Stop devices and hazards that no stop names, against ISO 13850, 4.1.1 (two public sources).

The circuit is that of tests/control/circuits.py: one emergency stop and a heater that can hurt.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL

SLUG = "stop-names-too-little"
MORE = """  - {wire: 20, from: X0:L, to: S9:11, size: 1.5 mm2, length: 1 m}
  - {wire: 21, from: S9:12, to: H9:X1, size: 1.5 mm2, length: 1 m}
"""
PARTS = "  S9: {kind: KIND, contacts: {11-12: NC}}\n  H9: {kind: lamp, rated: 230 V AC 1 W, hazardous: false}\n  E1:"


def second(kind: str) -> str:
    """A second device, wired to a lamp."""
    return SEAL.replace("  E1:", PARTS.replace("KIND", kind)) + MORE


@pytest.mark.parametrize(("kind", "count"), [("emergency-stop", 1), ("guard-switch", 1), ("limit-switch", 0)])
def test_a_wired_safeguard_is_named_by_a_stop(kind: str, count: int) -> None:
    text = second(kind)
    assert [one.subjects for one in fired(SLUG, design(text))] == [("S9",)] * count
    assert fired(SLUG, design(text.replace("devices: [S1]", "devices: [S1, S9]"))) == []
    assert fired(SLUG, design(text.replace(MORE, ""))) == []


def test_every_hazard_lies_behind_an_emergency_stop() -> None:
    """One of two emergency stops may be for the heater alone; an ordinary stop beside it does not count."""
    none = SEAL.replace("reset: S2}", "reset: S2, removes: []}")
    [finding] = fired(SLUG, design(none))
    assert finding.subjects == ("E1", "emergency")
    assert fired(SLUG, design(SEAL.replace("reset: S2}", "reset: S2, removes: [E1]}"))) == []
    beside = none.replace("stops: {", "stops: {normal: {devices: [S2], category: 0}, ")
    assert [one.subjects for one in fired(SLUG, design(beside))] == [("E1", "emergency")]


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(second("guard-switch")))
    assert_says(finding, "WARNING", mend="name S9 under `devices` of that stop")


@pytest.mark.parametrize(
    ("kind", "count"), [("guard-switch", 1), ("limit-switch", 1), ("emergency-stop", 0), ("push-button", 0)]
)
def test_something_is_pressed_to_stop_the_machine(kind: str, count: int) -> None:
    """IEC 60204-1, 9.2.3.4.2: an emergency stop; a push-button in its place is told by another rule."""
    text = SEAL.replace("S1: {kind: emergency-stop", f"S1: {{kind: {kind}")
    assert [one.subjects for one in fired(SLUG, design(text))] == [("emergency", "E1")] * count
