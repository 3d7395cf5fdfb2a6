"""A motor at rated load takes the current on its plate."""

from __future__ import annotations

import pytest

from tests.helpers import design

PLAN = """
mains: {{inlet: X0, system: {system}, voltage: {volts} V, frequency: 60 Hz, earthing: TN-S, fault_current: 5 kA}}
states: {{run: {{M1: run}}}}
parts:
  X0: {{kind: inlet, poles: [{poles}]}}
  M1: {{kind: motor, voltage: {volts} V AC, phases: {phases}, rated_power: {power}, rated_current: {amps} A{more}}}
wires:
{wires}
"""


def solved(system: str, volts: int, phases: int, power: str, amps: float, more: str = "") -> float:
    """Current in the first wire to the motor [A]."""
    lines = ["L", "N"] if phases == 1 else ["L1", "L2", "L3"]
    ends = ["U1", "U2"] if phases == 1 else ["U", "V", "W"]
    wires = "\n".join(
        f"  - {{wire: {n}, from: X0:{line}, to: M1:{end}, size: 6 mm2, length: 1 m}}"
        for n, (line, end) in enumerate(zip(lines, ends, strict=True))
    )
    made = design(
        PLAN.format(
            system=system, volts=volts, phases=phases, power=power, amps=amps, more=more, wires=wires,
            poles=", ".join(lines),
        )
    )  # fmt: skip
    return abs(made.states["run"].path_current("AC")["0"])


@pytest.mark.parametrize(("power", "amps"), [("0.5 hp", 4.9), ("1 hp", 8.0), ("3 hp", 17.0)])
def test_single_phase_motors_of_nfpa_70_table_430_248_at_230_v(power: str, amps: float) -> None:
    assert solved("single-phase", 230, 1, power, amps) == pytest.approx(amps, rel=0.02)


@pytest.mark.parametrize(("power", "amps"), [("1 hp", 2.1), ("2 hp", 3.4), ("5 hp", 7.6)])
def test_three_phase_motors_of_nfpa_70_table_430_250_at_460_v(power: str, amps: float) -> None:
    assert solved("three-phase", 460, 3, power, amps) == pytest.approx(amps, rel=0.02)


@pytest.mark.parametrize("more", [", efficiency: 77 %", ", power_factor: 0.8"])
def test_one_of_efficiency_and_power_factor_follows_from_the_other_and_the_current(more: str) -> None:
    """P = eta sqrt(3) U I pf (definition): either stated, the plate's 1.8 A of a 0.75 kW motor at 400 V comes out."""
    assert solved("three-phase", 400, 3, "0.75 kW", 1.8, more) == pytest.approx(1.8, rel=0.02)


def test_a_plate_that_states_all_three_is_taken_at_its_word() -> None:
    """0.75 kW / (0.77 x 1.732 x 400 V x 0.8) = 1.757 A."""
    full = ", efficiency: 77 %, power_factor: 0.8"
    assert solved("three-phase", 400, 3, "0.75 kW", 1.9, full) == pytest.approx(1.757, rel=0.02)
