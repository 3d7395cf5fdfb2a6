"""What motors across the line take less than their full-load currents of the tables."""

from __future__ import annotations

import pytest
from helpers import design

from wiring.design.motor.circuits import short_of_full_load

BODY = """
mains: {inlet: X0, system: single-phase, voltage: 120 V, fault_current: 1 kA}
states:
  pumping: {M1: {power: 300 W}}
  both: {M1: {power: 300 W}, M2: {power: 300 W}}
parts:
  X0: {kind: inlet}
  M1: {kind: motor, voltage: 120 V AC, phases: 1, rated_power: 0.37 kW, rated_current: 6 A}
  M2: {kind: motor, voltage: 120 V AC, phases: 1, rated_power: 0.37 kW, rated_current: 6 A}
wires:
  - {wire: 1, through: ["X0:L", "M1:U1", "M2:U1"], size: 4 mm2, length: 1 m}
  - {wire: 2, through: ["X0:N", "M1:U2", "M2:U2"], size: 4 mm2, length: 1 m}
"""


@pytest.mark.parametrize(("state", "motors"), [("pumping", ["M1"]), ("both", ["M1", "M2"])])
def test_only_motors_that_run_count(state: str, motors: list[str]) -> None:
    """NFPA 70, table 430.248: 9.8 A of a motor of 1/2 hp at 115 V, whatever it takes at its load; one that stands
    takes nothing and keeps nothing free."""
    made = design(BODY, "na")
    point = made.states[state]
    taken = {name: abs(point.element_current("AC")[name, 0]) for name in motors}
    assert all(0.0 < amps < 9.8 for amps in taken.values())
    short = short_of_full_load(made.machine, point, {"M1": 9.8, "M2": 9.8})
    assert short == pytest.approx(sum(9.8 - amps for amps in taken.values()), rel=1e-6)


def test_a_motor_that_takes_more_than_its_table_gives_nothing_to_the_others() -> None:
    made = design(BODY, "na")
    assert short_of_full_load(made.machine, made.states["both"], {"M1": 0.1, "M2": 0.1}) == 0.0
