"""The outcome of the control circuit depends on which contact is faster.

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

SLUG = "control-race"
RELAYS = "".join(f"  K{n}: {{kind: relay, coil: 230 V AC 5 W, contacts: {{21-22: NC}}}}\n" for n in (3, 4))
CROSSED = """
  - {wire: 20, through: [X0:L, K3:21, K4:21], size: 1.5 mm2, length: 1 m}
  - {wire: 21, from: K3:22, to: K4:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 22, from: K4:22, to: K3:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 23, through: [X0:N, K3:A2, K4:A2], size: 1.5 mm2, length: 1 m}
""".lstrip("\n")


def test_circuits_without_competing_coils_are_quiet() -> None:
    assert fired(SLUG, design(SEAL)) == []
    assert fired(SLUG, design(two_channels())) == []


def test_what_it_says() -> None:
    """Relay circuits: of two coils, each behind the break contact of the other, the faster one wins."""
    [finding] = fired(SLUG, design(SEAL.replace("  E1:", RELAYS + "  E1:") + CROSSED))
    assert_says(finding, "CAUTION", mend="condition of its own")
