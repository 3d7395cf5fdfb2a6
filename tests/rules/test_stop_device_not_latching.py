"""An emergency stop device springs back by itself.

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

SLUG = "stop-device-not-latching"


def test_a_push_button_beside_an_emergency_stop_of_its_own_stop_is_no_fault() -> None:
    text = SEAL.replace("stops: {", "stops: {normal: {devices: [S9], category: 0}, ")
    text = text.replace("  E1:", "  S9: {kind: push-button, contacts: {11-12: NC}}\n  E1:")
    assert fired(SLUG, design(text)) == []
    same = SEAL.replace("devices: [S1]", "devices: [S1, S9]")
    same = same.replace("  E1:", "  S9: {kind: push-button, contacts: {11-12: NC}}\n  E1:")
    [finding] = fired(SLUG, design(same))
    assert finding.subjects == ("S9", "emergency")


def test_what_it_says() -> None:
    """ISO 13850 4.1.4: the device latches."""
    [finding] = fired(
        SLUG,
        design(
            SEAL.replace("devices: [S1]", "devices: [S1, S9]").replace(
                "  E1:", "  S9: {kind: push-button, contacts: {11-12: NC}}\n  E1:"
            )
        ),
    )
    assert_says(finding, "WARNING", mend="it latches")  # who restarts it may not see the hand: ANSI Z535.6
