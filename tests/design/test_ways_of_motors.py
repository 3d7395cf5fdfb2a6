"""What lies between a drive and its motor, where the mains can be switched onto the motor as well."""

from __future__ import annotations

import pytest
from helpers import design

from wiring.design.motor.ways import parts_between

BODY = """
mains: {inlet: X0, system: three-phase, voltage: 400 V, fault_current: 1 kA}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  T1: {kind: inverter, supply: 400 V AC, phases: 3, rated: 1.5 kW, output_current: 4 A}
  Q1: {kind: contactor, poles: 3, coil: 24 V DC 3 W}
  Q2: {kind: contactor, poles: 3, coil: 24 V DC 3 W}
  M1: {kind: motor, voltage: 400 V AC, phases: 3, rated_power: 1.5 kW, rated_current: 3.5 A}
wires:
"""
POLES = (("L1", "U", "1", "2"), ("L2", "V", "3", "4"), ("L3", "W", "5", "6"))


def wired(contactor: bool, bypass: bool) -> str:
    """The motor at the drive, behind Q1 or not, and behind Q2 at the mains."""
    pairs = []
    for line, phase, a, b in POLES:
        behind = [(f"T1:{phase}", f"Q1:{a}"), (f"Q1:{b}", f"M1:{phase}")]
        pairs += behind if contactor else [(f"T1:{phase}", f"M1:{phase}")]
        pairs += [(f"X0:{line}", f"Q2:{a}"), (f"Q2:{b}", f"M1:{phase}")] if bypass else []
    return BODY + "".join(
        f'  - {{wire: {n}, from: "{a}", to: "{b}", size: 1.5 mm2, length: 1 m}}\n' for n, (a, b) in enumerate(pairs, 1)
    )


@pytest.mark.parametrize(("contactor", "bypass", "between"), [(True, False, {"Q1"}), (False, True, set())])
def test_what_leads_on_to_the_mains_does_not_lie_between(contactor: bool, bypass: bool, between: set[str]) -> None:
    made = design(wired(contactor, bypass))
    assert [one.name for one in made.axes["T1"].motors] == ["M1"]
    assert set(parts_between(made, made.parts["T1"])) == between
