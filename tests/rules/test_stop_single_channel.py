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
