"""An earth fault alone defeats a stop.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL, two_channels

SLUG = "stop-contact-on-earthed-side"
#: The sound machine with K1 turned round: A1 at 24 V, A2 through the output 13-14 to the earthed 0 V.
MOVED = (
    two_channels()
    .replace("from: 'G1:V+', to: 'K0:13'", "from: 'G1:V+', to: 'K1:A1'")
    .replace("from: 'K0:14', to: 'K1:A1'", "from: 'K0:14', to: 'K1:A2'")
    .replace("from: 'K1:A2', to: 'G1:V-'", "from: 'K0:13', to: 'G1:V-'")
)


def test_contacts_on_the_live_side_are_not_touched_by_earth() -> None:
    assert fired(SLUG, design(SEAL)) == []


@pytest.mark.parametrize("book", ["iec", "na"])
def test_a_contact_of_the_stop_past_the_coil_is_told_though_the_other_channel_still_stops(book: str) -> None:
    """IEC 60204-1, 9.4.3.1.2, method a (from memory): every coil returns straight to the bonded side, all contacts are
    on the other. K1's A1 stands at 24 V, its A2 goes through 13-14 to the earthed 0 V: earth at A2 holds K1 in."""
    [finding] = fired(SLUG, design(MOVED, book))
    assert finding.subjects[:2] == ("K1", "K0:13-14")
    assert finding.place is not None


def test_contacts_on_both_sides_of_a_coil_are_borne() -> None:
    """Two-pole switching (9.4.3.1.3, method b, from memory): the live side opens too, so that earth holds nothing."""
    text = MOVED.replace("G1:V+', to: 'K1:A1'", "K0:24', to: 'K1:A1'")
    assert fired(SLUG, design(text)) == []


def test_without_earth_on_either_side_one_earth_fault_holds_nothing() -> None:
    """Method b (from memory): an unearthed circuit; the first earth fault closes no circuit."""
    text = MOVED.replace("from: 'X0:PE', to: 'G1:V-'", "from: 'K1:A1', to: 'G1:V+'")
    assert fired(SLUG, design(text)) == []


def test_what_it_says() -> None:
    """IEC 60204-1 9.4.3.1.2, method a."""
    [finding] = fired(SLUG, design(MOVED))
    assert_says(finding, "WARNING", mend="straight to the earthed side")
