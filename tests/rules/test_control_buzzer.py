"""Contacts of the control circuit never come to rest.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL, two_channels

SLUG = "control-buzzer"
RELAY = "  K3: {kind: relay, coil: 230 V AC 5 W, contacts: {21-22: NC}}\n"
OWN_CONTACT = """
  - {wire: 20, from: X0:L, to: K3:21, size: 1.5 mm2, length: 1 m}
  - {wire: 21, from: K3:22, to: K3:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 22, from: K3:A2, to: X0:N, size: 1.5 mm2, length: 1 m}
""".lstrip("\n")


def test_circuits_that_rest_are_quiet() -> None:
    assert fired(SLUG, design(SEAL)) == []
    assert fired(SLUG, design(two_channels())) == []


def test_what_it_says() -> None:
    """Relay circuits: a coil behind its own break contact never comes to rest."""
    [finding] = fired(SLUG, design(SEAL.replace("  E1:", RELAY + "  E1:") + OWN_CONTACT))
    assert_says(finding, "CAUTION", mend="Feed no coil through a break contact of its own device")
