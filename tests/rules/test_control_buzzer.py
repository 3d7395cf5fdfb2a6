"""Contacts of the control circuit never come to rest.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

from helpers import design
from marked_plans import fired

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL, two_channels

SLUG = "control-buzzer"


def test_circuits_that_rest_are_quiet() -> None:
    assert fired(SLUG, design(SEAL)) == []
    assert fired(SLUG, design(two_channels())) == []
