"""An emergency stop at each place of operation: IEC 60204-1, 10.7.1 (from memory)."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL

SLUG = "emergency-stop-not-at-hand"


def placed(operator: str, stop: str, kind: str = "push-button") -> str:
    """A button in place of the stop's wire to the seal-in, and where it and the emergency stop are."""
    text = SEAL.replace("S1: {kind: emergency-stop,", f"S1: {{kind: emergency-stop, at: {stop},")
    text = text.replace("  E1:", f"  S9: {{kind: {kind}, at: {operator}, contacts: {{13-14: NO}}}}\n  E1:")
    return text + "  - {wire: 20, from: S1:12, to: S9:13}\n  - {wire: 21, from: S9:14, to: S2:13}\n"


@pytest.mark.parametrize(
    ("operator", "stop", "kind", "count"),
    [
        ("machine", "door", "push-button", 1),
        ("machine", "door", "foot-switch", 1),
        ("machine", "machine", "push-button", 0),
        ("door", "cabinet", "push-button", 0),
        ("outside", "machine", "push-button", 1),
        ("machine", "door", "limit-switch", 0),
    ],
)
def test_a_place_where_it_is_worked_has_one(operator: str, stop: str, kind: str, count: int) -> None:
    assert len(fired(SLUG, design(placed(operator, stop, kind)))) == count


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(placed("machine", "door")))
    assert finding.subjects == ("S9", "S1")
    assert_says(finding, "CAUTION", mend="beside S9")
