"""One contact that fails closed defeats a stop.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

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
