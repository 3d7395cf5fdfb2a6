"""A second conductor between the same two terminals: no rule fails, and both share the current by resistance."""

from __future__ import annotations

import copy
from pathlib import Path

import pytest
from helpers import design
from plain_plans import parsed, written

from wiring.design.load import load_text
from wiring.rules.run import judge

SPECS = Path(__file__).parents[2] / "specs"

#: 10 A through two conductors each way; the second one of each pair is three times as long.
PAIRS = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A, overload: {mode: hiccup, limit: 110 %}}
  E1: {kind: load, rated: 24 V DC 240 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 4 mm2, insulation: pvc-70, length: 1 m}
  - {wire: 2, from: E1:1, to: G1:V+, size: 4 mm2, insulation: pvc-70, length: 3 m}
  - {wire: 3, from: G1:V-, to: E1:2, size: 4 mm2, insulation: pvc-70, length: 1 m}
  - {wire: 4, from: G1:V-, to: E1:2, size: 4 mm2, insulation: pvc-70, length: 3 m}
"""


@pytest.mark.parametrize("name", sorted(path.name for path in SPECS.glob("*.yaml")))
def test_every_wire_of_a_spec_can_be_doubled(name: str) -> None:
    """All at once; the only device that could be said to be too large for the pair is the one that was before."""
    plan = parsed((SPECS / name).read_text("utf-8"))
    for wire in copy.deepcopy(plan["wires"]):
        plan["wires"].append({**wire, "wire": f"{wire['wire']}b"})
    found = load_text(written(plan), name, SPECS)
    assert found.design is not None, [str(fault) for fault in found.faults]
    report = judge(found.design)
    assert report.crashed == ()
    assert not [one for one in report.findings if one.rule == "protection-above-conductor"]


def test_two_conductors_share_current_as_the_inverse_of_their_lengths() -> None:
    """Kirchhoff: of 10 A, 7.5 A in the conductor of 1 m and 2.5 A in the one of 3 m (the drop moves both by < 1 %)."""
    found = design(PAIRS).conductors
    for short, long in (("1", "2"), ("3", "4")):
        assert found[short].current_a == pytest.approx(7.5, rel=0.01)
        assert found[short].current_a / found[long].current_a == pytest.approx(3.0, rel=1e-6)


def test_a_return_in_parallel_is_guarded_by_the_devices_in_front_of_its_loads() -> None:
    """Two conductors between two terminals are one way back, not a loop that only the source limits."""
    fused = PAIRS.replace("parts:", "parts:\n  F1: {kind: fuse, rating: 16 A, class: gG}").replace(
        "{wire: 1, from: G1:V+, to: E1:1,",
        "{wire: 0, from: G1:V+, to: F1:1, size: 4 mm2}\n  - {wire: 1, from: F1:2, to: E1:1,",
    )
    fused = fused.replace("from: E1:1, to: G1:V+", "from: E1:1, to: F1:2")
    protections = design(fused).protections
    assert {wire: protections[wire].part for wire in ("1", "2", "3", "4")} == dict.fromkeys("1234", "F1")


def test_the_impedance_of_a_short_counts_both_conductors() -> None:
    """By hand: 4 mm2 of class 5 has 4.95 ohm/km at 20 °C (IEC 60228, table 3); there and back 9.9, in pairs 4.95."""
    one = PAIRS.replace("length: 3 m", "length: 1 m")
    pair = design(one).short_circuits.to_return["E1", "1"].cold_ohm
    alone = "\n".join(line for line in one.splitlines() if "wire: 2" not in line and "wire: 4" not in line)
    assert design(alone).short_circuits.to_return["E1", "1"].cold_ohm - pair == pytest.approx(4.95e-3, rel=1e-3)


def test_a_loop_through_a_part_names_no_protection_of_the_part() -> None:
    """What limits a current is asked of conductors alone, also where a bridge of terminals closes the loop."""
    loop = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A}
  X1: {kind: terminals, points: 4, bridged: [1-4]}
  E1: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: E1:2, to: X1:1, size: 1.5 mm2, length: 1 m}
  - {wire: 3, from: X1:2, to: X1:4, size: 1.5 mm2, length: 1 m}
  - {wire: 4, from: X1:3, to: G1:V-, size: 1.5 mm2, length: 1 m}
"""
    assert judge(design(loop)).crashed == ()
