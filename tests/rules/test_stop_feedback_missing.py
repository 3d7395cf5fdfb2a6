"""A contactor may fail closed, and the machine starts again as if nothing had happened.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

from helpers import design
from marked_plans import fired

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-feedback-missing"


def test_mirror_contacts_in_the_loop_end_it() -> None:
    assert fired(SLUG, design(two_channels())) == []
    [finding] = fired(SLUG, design(two_channels(feedback=False)))
    assert finding.subjects == ("K1", "K2", "emergency")
