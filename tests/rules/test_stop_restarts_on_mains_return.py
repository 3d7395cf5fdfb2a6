"""The machine starts by itself when the mains return.

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

SLUG = "stop-restarts-on-mains-return"
RELAY = "  K3: {kind: relay, coil: 230 V AC 5 W, on_delay: 1 s, contacts: {21-22: NC}}\n"
BRIDGE = """
  - {wire: 20, from: X0:L, to: K3:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 21, from: K3:A2, to: X0:N, size: 1.5 mm2, length: 1 m}
  - {wire: 22, from: S2:13, to: K3:21, size: 1.5 mm2, length: 1 m}
  - {wire: 23, from: K3:22, to: S2:14, size: 1.5 mm2, length: 1 m}
""".lstrip("\n")


def test_a_seal_lets_go_with_the_mains() -> None:
    assert fired(SLUG, design(SEAL)) == []
    assert fired(SLUG, design(two_channels())) == []


def test_what_it_says() -> None:
    """IEC 60204-1 7.5: no restart by itself. The break contact of a delayed relay bridges the start button for a
    second."""
    [finding] = fired(SLUG, design(SEAL.replace("  E1:", RELAY + "  E1:") + BRIDGE))
    assert_says(finding, "WARNING", mend="behind a start button")
