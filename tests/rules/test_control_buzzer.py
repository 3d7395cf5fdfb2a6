"""Contacts of the control circuit never come to rest.

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


@pytest.mark.parametrize(("count", "slug"), [(2, "control-race"), (3, SLUG), (4, "control-race"), (5, SLUG)])
def test_a_ring_of_coils_that_let_one_another_go_rests_where_their_number_is_even(count: int, slug: str) -> None:
    """Each coil behind the break contact of the one before it: with an odd number x = not x, with an even one two
    positions stay and the faster contact decides (inverter ring, switching algebra). No stop is in the plan."""
    names = [f"K{n}" for n in range(3, 3 + count)]
    parts = "".join(f"  {name}: {{kind: relay, coil: 230 V AC 5 W, contacts: {{21-22: NC}}}}\n" for name in names)
    ends = [(before, name) for before, name in zip((names[-1], *names[:-1]), names, strict=True)]
    wires = [
        w
        for before, name in ends
        for w in (("X0:L", f"{before}:21"), (f"{before}:22", f"{name}:A1"), (f"{name}:A2", "X0:N"))
    ]
    text = (
        "mains: {inlet: X0, system: single-phase, voltage: 230 V}\nparts:\n  X0: {kind: inlet}\n" + parts + "wires:\n"
    )
    text += "".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}', size: 1 mm2, length: 1 m}}\n" for n, (a, b) in enumerate(wires, 1)
    )
    made = design(text)
    told = {one: [f.subjects for f in fired(one, made)] for one in (SLUG, "control-race")}
    assert told[slug] == [(*names, "work")]
    assert not told[SLUG if slug != SLUG else "control-race"]
