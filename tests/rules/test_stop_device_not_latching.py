"""An emergency stop device springs back by itself.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

from helpers import HEAD, design
from marked_plans import fired, read

from wiring.rules.page import rule_page

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL

SLUG = "stop-device-not-latching"


def test_the_example_fires_once_and_its_twin_is_quiet() -> None:
    sections = rule_page(SLUG).sections
    [finding] = fired(SLUG, read(HEAD.format(book="iec") + sections["Fires"]))
    assert finding.place is not None
    assert finding.harm
    assert finding.mend
    assert fired(SLUG, read(HEAD.format(book="na") + sections["Quiet"])) == []


def test_a_push_button_beside_an_emergency_stop_of_its_own_stop_is_no_fault() -> None:
    text = SEAL.replace("stops: {", "stops: {normal: {devices: [S9], category: 0}, ")
    text = text.replace("  E1:", "  S9: {kind: push-button, contacts: {11-12: NC}}\n  E1:")
    assert fired(SLUG, design(text)) == []
    same = SEAL.replace("devices: [S1]", "devices: [S1, S9]")
    same = same.replace("  E1:", "  S9: {kind: push-button, contacts: {11-12: NC}}\n  E1:")
    [finding] = fired(SLUG, design(same))
    assert finding.subjects == ("S9", "emergency")
