"""One contact that fails closed defeats a stop.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-single-channel"


def test_a_second_contactor_in_series_ends_it() -> None:
    assert fired(SLUG, design(two_channels())) == []
    [finding] = fired(SLUG, design(two_channels(poles=1)))
    assert finding.subjects == ("K1", "emergency")


def test_what_it_says() -> None:
    """ISO 13849-2 table D.9, by hand: the one contactor stays closed by its welded contact or by its stuck armature: 2
    faults."""
    [finding] = fired(SLUG, design(two_channels(poles=1)))
    assert_says(finding, "WARNING", number=("faults of this kind", 2.0, ""), mend="second contactor in series with K1")


def test_a_device_that_opens_one_channel_and_leaves_the_other_is_told() -> None:
    """S1 opens S11-S12 alone; a wire closes S21-S22 for ever, so the relay sees half of the stop (by hand)."""
    half = two_channels(cable=False).replace("to: 'S1:21'", "to: 'K0:S22'")
    [finding] = [one for one in fired(SLUG, design(half)) if one.subjects == ("S1", "K0")]
    assert "leaves S21-S22 closed" in finding.summary
    both = [one for one in fired(SLUG, design(two_channels(cable=False))) if one.subjects == ("S1", "K0")]
    assert both == []


@pytest.mark.parametrize(
    ("kind", "contact", "count"),
    [
        ("limit-switch", "NC", 1),
        ("limit-switch", "NC direct", 0),
        ("guard-switch", "NC", 0),
        ("emergency-stop", "NC", 0),
    ],
)
def test_a_position_switch_that_carries_both_channels_opens_by_force(kind: str, contact: str, count: int) -> None:
    """IEC 60204-1, 10.1.4 (from memory): position sensors of safety functions open directly; guard and emergency stop
    devices do by their own standards."""
    given = f"S1: {{kind: {kind}, at: machine, contacts: {{11-12: {contact}, 21-22: {contact}}}"
    text = two_channels().replace("S1: {kind: emergency-stop, at: machine, contacts: {11-12: NC, 21-22: NC}", given)
    found = [one for one in fired(SLUG, design(text)) if one.subjects == ("S1", "K0")]
    assert len(found) == count
