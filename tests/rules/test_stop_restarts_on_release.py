"""The machine starts again when the stop device is released.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL

SLUG = "stop-restarts-on-release"


def test_without_a_seal_the_contactor_follows_the_stop() -> None:
    text = SEAL.replace("from: S1:12, to: S2:13", "from: S1:12, to: K1:A1")
    [finding] = fired(SLUG, design(text))
    assert finding.subjects == ("S1", "emergency")
    assert fired(SLUG, design(SEAL)) == []


def test_what_it_says() -> None:
    """IEC 60204-1 9.2.3.4.2: the reset of the device starts nothing."""
    [finding] = fired(SLUG, design(SEAL.replace("from: S1:12, to: S2:13", "from: S1:12, to: K1:A1")))
    assert_says(finding, "WARNING", mend="behind a reset button")
