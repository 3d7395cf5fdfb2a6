"""A single fault defeats a stop.

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

SLUG = "stop-fault-dangerous"


def test_a_reset_that_is_not_monitored_fails_with_its_button() -> None:
    [finding] = fired(SLUG, design(two_channels(reset="manual")))
    assert finding.subjects == ("S2", "emergency")
    assert fired(SLUG, design(two_channels())) == []


def test_what_it_says() -> None:
    """ISO 13849-2 annex D, by hand: the reset button that does not open and a short across it are the same to a reset
    that is not monitored: 2 faults."""
    [finding] = fired(SLUG, design(two_channels(reset="manual")))
    assert_says(finding, "WARNING", number=("faults of this kind", 2.0, ""), mend="monitored reset")
