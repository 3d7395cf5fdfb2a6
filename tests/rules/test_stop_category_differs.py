"""A stop removes the power later, or sooner, than its category says.

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

SLUG = "stop-category-differs"


def test_power_that_goes_at_once_is_not_category_1() -> None:
    [finding] = fired(SLUG, design(SEAL.replace("category: 0", "category: 1")))
    assert finding.subjects == ("emergency",)
    assert fired(SLUG, design(SEAL)) == []


def test_what_it_says() -> None:
    """IEC 60204-1 9.2.2: category 1 keeps the power until the movement ends."""
    [finding] = fired(SLUG, design(SEAL.replace("category: 0", "category: 1")))
    assert_says(finding, "CAUTION", mend="Feed them through delayed contacts")


def test_an_emergency_stop_is_not_of_category_2() -> None:
    """IEC 60204-1, 9.2.3.4.2: an emergency stop is of category 0 or 1. A button that stops in operation may be of 2."""
    [finding] = fired(SLUG, design(SEAL.replace("category: 0", "category: 2")))
    assert_says(finding, "WARNING", mend="Take the power away at once")
    button = SEAL.replace("S1: {kind: emergency-stop", "S1: {kind: push-button")
    assert fired(SLUG, design(button.replace("category: 0", "category: 2"))) == []
