"""A contactor may fail closed, and the machine starts again as if nothing had happened.

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

SLUG = "stop-feedback-missing"


def test_mirror_contacts_in_the_loop_end_it() -> None:
    assert fired(SLUG, design(two_channels())) == []
    [finding] = fired(SLUG, design(two_channels(feedback=False)))
    assert finding.subjects == ("K1", "K2", "emergency")


def test_what_it_says() -> None:
    """ISO 13849-1 6.2.6: the single fault is seen before the next demand."""
    [finding] = fired(SLUG, design(two_channels(feedback=False)))
    assert_says(finding, "CAUTION", mend="mirror contact (break) of each")
