"""The machine starts by itself when the mains return.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

from helpers import HEAD, design
from marked_plans import fired, read

from wiring.rules.page import rule_page

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL, two_channels

SLUG = "stop-restarts-on-mains-return"


def test_the_example_fires_once_and_its_twin_is_quiet() -> None:
    sections = rule_page(SLUG).sections
    [finding] = fired(SLUG, read(HEAD.format(book="iec") + sections["Fires"]))
    assert finding.place is not None
    assert finding.harm
    assert finding.mend
    assert fired(SLUG, read(HEAD.format(book="na") + sections["Quiet"])) == []


def test_a_seal_lets_go_with_the_mains() -> None:
    assert fired(SLUG, design(SEAL)) == []
    assert fired(SLUG, design(two_channels())) == []
