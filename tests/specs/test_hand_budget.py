"""The power budgets of three plans by hand: numbers from the plans, formulas of physics, nothing of the package.

A chopper drive takes from its bus what its motor turns into heat and work (energy balance, derived):

    P = I^2 R (1 + 0.00393 (80 - 20))  copper of both phases, I the amplitude, R at 20 °C, winding at 80 °C (IEC 60287)
      + I^2 r                          bridge, r the two transistors in the path of a phase
      + T w                            shaft
      + 5 W n / 600 rpm                iron (common practice, no source)
      + 1.5 W                          logic of the drive (common practice, no source)

At rest the current is reduced to the hold share, and shaft and iron take nothing. Drops in conductors and contacts are
left out; they are well inside the 2 % that is asked for. A plan's `duty` weighs heat, not the load at work.
"""

from __future__ import annotations

from math import pi
from pathlib import Path

import pytest

from wiring.design.design import Design
from wiring.design.load import load

SPECS = Path(__file__).parents[2] / "specs"
WITHIN = 0.02
HOT = 1 + 0.00393 * (80 - 20)  # 1.2358


def solved(name: str) -> Design:
    loaded = load(SPECS / f"{name}.yaml")
    assert loaded.design is not None
    return loaded.design


def at_work(amplitude_a: float, winding_ohm: float, bridge_ohm: float, rpm: float, torque_nm: float) -> float:
    """Bus power of a stepper axis at work [W]."""
    copper_w = amplitude_a**2 * winding_ohm * HOT
    bridge_w = amplitude_a**2 * bridge_ohm
    shaft_w = torque_nm * 2 * pi * rpm / 60
    return copper_w + bridge_w + shaft_w + 5.0 * rpm / 600 + 1.5


def at_rest(amplitude_a: float, winding_ohm: float, bridge_ohm: float, share: float = 0.5) -> float:
    """Bus power of a stepper axis that holds [W]."""
    held_a = share * amplitude_a
    return held_a**2 * (winding_ohm * HOT + bridge_ohm) + 1.5


def assert_budget(design: Design, supply: str, expected_a: dict[str, float]) -> None:
    rows = design.supplies[supply]
    assert {state: rows[state].current_a for state in expected_a} == pytest.approx(expected_a, rel=WITHIN)
    assert set(rows) == set(expected_a)


def test_the_balance_once_in_figures() -> None:
    """The winding spindle at 600 rpm and 1 N·m, digit by digit.

    4.2^2 = 17.64; copper 17.64 * 0.75 * 1.2358 = 16.35; bridge 17.64 * 0.08 = 1.41; shaft 1 * 62.83 = 62.83;
    iron 5.00; logic 1.50; together 87.09 W, 2.42 A at 36 V.
    """
    assert at_work(4.2, 0.75, 0.08, 600, 1.0) == pytest.approx(16.35 + 1.41 + 62.83 + 5.00 + 1.50, abs=0.02)


# ---- coil winder, 36 V: M1 4.2 A peak in 0.75 ohm, M2 2.8 A peak in 1.1 ohm, hold 50 %, bridge 2 x 40 mohm (typical)
def test_coil_winder_motor_supply() -> None:
    ready_w = at_rest(4.2, 0.75, 0.08) + at_rest(2.8, 1.1, 0.08)  # 5.94 + 4.32 W
    winding_w = at_work(4.2, 0.75, 0.08, 600, 1.0) + at_work(2.8, 1.1, 0.08, 300, 0.4)  # 87.09 + 27.85 W
    fast_w = at_work(4.2, 0.75, 0.08, 900, 0.6) + at_work(2.8, 1.1, 0.08, 300, 0.4)  # 83.31 + 27.85 W
    assert [ready_w, winding_w, fast_w] == pytest.approx([10.26, 114.94, 111.16], abs=0.03)
    assert_budget(solved("coil-winder"), "G1", {"ready": ready_w / 36, "winding": winding_w / 36, "fast": fast_w / 36})


def control_current(
    *, channel_a: float, lamps: int, card_a: float, inputs_on: int, pulses_on: int, others_a: float
) -> float:
    """Current of a 24 V control rail [A] with its stop relay, two contactors, lamps and a motion card."""
    relay_a = 2 / 24 + 2 * channel_a  # 2 W, and two closed channels
    contactors_a = 2 * 3 / 24  # two coils of 3 W
    lamps_a = lamps * 0.020
    inputs_a = inputs_on * 0.0025  # type 3 inputs: 2 to 3 mA (IEC 61131-2: at least 2 mA; common practice 2.5 mA)
    pulses_a = pulses_on * 5 * 0.010 / 24  # 5 V into optocouplers that are made for 10 mA (common practice)
    return relay_a + contactors_a + lamps_a + card_a + inputs_a + pulses_a + others_a


def test_coil_winder_control_supply() -> None:
    """Stop relay 83.3 mA with channels of 10 mA (common practice); coils 250 mA; lamp 20 mA; card 150 mA.

    Two limit switches are closed, the foot switch is open; step, direction and enable of two drives are six inputs.
    """
    amps = control_current(channel_a=0.010, lamps=1, card_a=0.150, inputs_on=2, pulses_on=6, others_a=0.0)
    assert amps == pytest.approx(0.0833 + 0.020 + 0.250 + 0.020 + 0.150 + 0.005 + 0.0125, abs=1e-4)
    assert_budget(solved("coil-winder"), "G2", dict.fromkeys(("ready", "winding", "fast"), amps))


# ---- foam gantry, 48 V: four drives of 4.2 A peak; M1 and M4 0.75 ohm, M2 and M3 1.0 ohm, hold at 50 %
def test_foam_gantry_motor_supply() -> None:
    rest_w = 2 * at_rest(4.2, 0.75, 0.08) + 2 * at_rest(4.2, 1.0, 0.08)
    cutting_w = at_work(4.2, 0.75, 0.08, 60, 0.5) + 2 * at_work(4.2, 1.0, 0.08, 60, 0.6)
    cutting_w += at_work(4.2, 0.75, 0.08, 90, 0.5)
    rapid_w = 2 * at_work(4.2, 0.75, 0.08, 450, 0.8) + 2 * at_work(4.2, 1.0, 0.08, 450, 1.2)
    # rest 2 * 5.94 + 2 * 7.30; cutting 22.90 + 2 * 28.98 + 24.72;
    # rapid, 0.75 ohm: 16.35 + 1.41 + 0.8 * 47.12 + 3.75 + 1.5 = 60.71;
    # 1.0 ohm: 21.80 + 1.41 + 56.55 + 3.75 + 1.5 = 85.01
    assert [rest_w, cutting_w, rapid_w] == pytest.approx([26.48, 105.58, 291.44], rel=0.001)
    amps = {"ready": rest_w / 48, "heating": rest_w / 48, "cutting": cutting_w / 48, "rapid": rapid_w / 48}
    assert_budget(solved("foam-gantry"), "G1", amps)


# ---- bench press feeder, 24 V: two drives set to 3.9 A peak, motors of 0.9 ohm, bridge 0.12 ohm (typical of the drive)
def test_bench_press_feeder_motor_supply() -> None:
    idle_w = 2 * at_rest(3.9, 0.9, 0.12)
    run_w = at_work(3.9, 0.9, 0.12, 300, 0.4) + at_work(3.9, 0.9, 0.12, 240, 0.3)
    fast_w = at_work(3.9, 0.9, 0.12, 480, 0.5) + at_work(3.9, 0.9, 0.12, 480, 0.4)
    assert_budget(solved("bench-press-feeder"), "G1", {"idle": idle_w / 24, "run": run_w / 24, "fast": fast_w / 24})


def test_bench_press_feeder_control_supply() -> None:
    """The library's stop relay takes 30 mA a channel; two limit switches closed; the sensor takes 10 mA."""
    amps = control_current(channel_a=0.030, lamps=1, card_a=0.120, inputs_on=2, pulses_on=6, others_a=0.010)
    assert_budget(solved("bench-press-feeder"), "G2", dict.fromkeys(("idle", "run", "fast"), amps))


def test_heat_of_the_coil_winder_part_by_part() -> None:
    """State `winding`, every duty 1 where none is given: what each part turns into heat in the cabinet.

    A supply loses P (1/n - 1): G1 114.9 W at 88 %, G2 24 V * 0.541 A = 12.98 W at 87 %; a drive 1.5 W and its bridge,
    4.2^2 * 0.08 = 1.41 W and 2.8^2 * 0.08 = 0.63 W; a contactor coil 3 W; the stop relay 2 W, and two channels of
    10 mA at 24 V that end in it.
    """
    from wiring.design.enclosure.cabinet_temperature import heat_by_part

    heat = heat_by_part(solved("coil-winder").machine, solved("coil-winder").operation, "winding")
    expected = {
        "G1": 114.94 * (1 / 0.88 - 1),
        "G2": 12.98 * (1 / 0.87 - 1),
        "D1": 1.5 + 1.41,
        "D2": 1.5 + 0.63,
        "K1": 3.0,
        "K2": 3.0,
    }
    # the six 5 V inputs of 10 mA end as 50 mW each in the drives
    expected["D1"] += 3 * 0.05
    expected["D2"] += 3 * 0.05
    assert {name: heat[name] for name in expected} == pytest.approx(expected, rel=0.05)
    assert "M1" not in heat  # the motors stand outside
    assert "M2" not in heat
