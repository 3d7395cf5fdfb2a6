"""Braking axes and the voltage of their bus."""

from __future__ import annotations

from itertools import pairwise
from math import pi

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "regeneration-too-high"


def axis(
    rpm: float = 1500, drive: str = "bus_limit: 65 V", motor: str = "load_inertia: 2 kg·cm2", extra: str = ""
) -> str:
    return f"""
states:
  fast: {{M1: {{speed: {rpm} rpm, torque: 1 N·m}}}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 48 V DC, rated: 10 A{extra}}}
  D1: {{kind: stepper-drive, supply: 24..60 V DC, phase_current: 4.2 A peak, bus_capacitance: 1000 µF, {drive}}}
  M1: {{kind: stepper-motor, phase_current: 4.2 A peak, phase_resistance: 0.75 ohm, rotor_inertia: 1 kg·cm2,
       metal: false, {motor}}}
wires:
  - {{wire: 1, from: G1:V+, to: D1:V+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: G1:V-, to: D1:V-, size: 2.5 mm2, length: 1 m}}
  - {{wire: 4, from: D1:A+, to: M1:A+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 5, from: D1:A-, to: M1:A-, size: 2.5 mm2, length: 1 m}}
  - {{wire: 6, from: D1:B+, to: M1:B+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 7, from: D1:B-, to: M1:B-, size: 2.5 mm2, length: 1 m}}
"""


def test_the_finding_points_at_the_drive() -> None:
    assert_marked(axis().replace("bus_limit: 65 V}\n", "bus_limit: 65 V}    #! regeneration-too-high\n"))


def test_the_voltage_by_hand() -> None:
    """E = J w²/2 = 0.5 x 3e-4 kg·m2 x (157.08 rad/s)² = 3.701 J; V2 = sqrt(48² + 2E/C), C = 1 mF: 98.52 V."""
    speed = 1500 * 2 * pi / 60
    bus = design(axis()).buses[0]
    assert bus.energy_j == pytest.approx(0.5 * 3e-4 * speed**2)
    assert bus.reached_v == pytest.approx((48.0**2 + 3e-4 * speed**2 / 1e-3) ** 0.5)
    assert bus.reached_v == pytest.approx(98.52, abs=0.01)


# V2 = 65 V at C: 3e-4 w² = C (65² - 48²), so w = sqrt(1e-3 x 1921 / 3e-4) = 80.04 rad/s = 764.3 rpm.
@pytest.mark.parametrize(("rpm", "fires"), [(764, False), (765, True)])
def test_the_limit_of_the_drive(rpm: float, fires: bool) -> None:
    assert bool(fired(SLUG, design(axis(rpm)))) is fires


@pytest.mark.parametrize(
    "body",
    [
        axis(motor="load_inertia: 2 kg·cm2, self_locking: true"),
        axis(drive="bus_limit: 65 V, clamp: 58 V"),
        axis(extra=", output_capacitance: 10 mF"),
    ],
)
def test_what_takes_the_energy_or_keeps_it(body: str) -> None:
    assert not fired(SLUG, design(body))


def test_a_clamp_above_the_limit_does_not_help() -> None:
    assert fired(SLUG, design(axis(drive="bus_limit: 65 V, clamp: 70 V")))


def test_missing_inertia_is_not_judged() -> None:
    found = design(axis(rpm=100, motor="iron_loss: 1 W"))
    assert not fired(SLUG, found)
    assert "load_inertia" in open_questions(SLUG, found)[0].missing


def test_a_faster_axis_never_lifts_its_bus_less() -> None:
    reached = [design(axis(rpm)).buses[0].reached_v for rpm in (10.0, 10.1, 90.0, 400.0, 1234.5, 3000.0, 9000.0)]
    assert all(48.0 <= slow <= fast for slow, fast in pairwise(reached))


def test_the_input_of_a_converter_says_nothing_about_its_own_output() -> None:
    """A converter of 18 to 36 V feeds the drive with 48 V; only the drive's 65 V count."""
    body = axis(100).replace(
        "  G1: {kind: supply, input: 230 V AC, output: 48 V DC, rated: 10 A}",
        "  G1: {kind: converter, input: 18..36 V DC, output: 48 V DC, rated: 10 A}",
    )
    assert design(body).buses[0].limit_part == "D1"


def falling(torque: str, drive: str = "bus_limit: 65 V, hold_current: 50 %", rpm: int = 60) -> str:
    return axis(rpm, drive, f"load_inertia: 2 kg·cm2, vertical: true{torque}")


def test_the_finding_of_a_lowered_load_points_at_its_weight() -> None:
    body = axis(600, "bus_limit: 65 V", "load_inertia: 1 kg·cm2, vertical: true,\n       gravity_torque: 1 N·m")
    marked = body.replace("gravity_torque: 1 N·m}\n", "gravity_torque: 1 N·m}    #! regeneration-too-high\n")
    marked += "  - {wire: 8, from: G1:V+, to: Y1:A1, size: 1 mm2, length: 1 m}\n"
    marked += "  - {wire: 9, from: G1:V-, to: Y1:A2, size: 1 mm2, length: 1 m}\n"
    marked = marked.replace("wires:", "  Y1: {kind: brake, rated: 48 V DC 12 W, holds: M1, suppressor: zener}\nwires:")
    assert_marked(marked)


def test_the_power_of_a_lowered_load_by_hand() -> None:
    """1 N·m at 600 rpm = 62.83 rad/s: 62.83 W (torque times speed)."""
    bus = design(axis(600, "bus_limit: 65 V", "load_inertia: 1 kg·cm2, vertical: true, gravity_torque: 1 N·m")).buses[0]
    assert bus.descent_w == pytest.approx(62.83, rel=1e-4)
    assert bus.reached_v == float("inf")


def test_what_a_drive_takes_at_rest_uses_up_a_slow_descent() -> None:
    """Two phases of 0.75 ohm at half of 4.2 A peak take 2.1² x 0.75 = 3.3 W at 20 °C in the winding alone; 0.2 N·m at
    6.28 rad/s are 1.26 W."""
    found = design(falling(", gravity_torque: 0.2 N·m"))
    assert found.buses[0].idle_w > 3.3
    assert not fired(SLUG, found)


@pytest.mark.parametrize(
    "body",
    [
        falling(", gravity_torque: 5 N·m, self_locking: true", rpm=600),
        falling(", gravity_torque: 5 N·m", "bus_limit: 65 V, clamp: 58 V", 600),
    ],
)
def test_a_screw_or_a_chopper_takes_a_lowered_load(body: str) -> None:
    assert not fired(SLUG, design(body))


def test_a_vertical_axis_without_its_weight_is_not_judged() -> None:
    assert "gravity_torque" in open_questions(SLUG, design(falling("")))[0].missing


# E = 0.5 x 3e-4 x w² into 1 mF from 48 V; the supply shuts down at 56 V: w = sqrt(1e-3 x (56² - 48²) / 3e-4) = 52.66
# rad/s = 502.8 rpm.
@pytest.mark.parametrize(("rpm", "fires"), [(502, False), (504, True)])
def test_the_supply_shuts_down_first(rpm: float, fires: bool) -> None:
    found = fired(SLUG, design(axis(rpm, extra=", over_voltage: 56 V")))
    assert bool(found) is fires
    assert not fires or "G1 shuts down at 56 V" in found[0].summary


def test_what_it_says() -> None:
    """Data of the drive: 65 V. E = J w²/2; C = 2E / (65² - 48²) = 3853 µF, of which 1000 µF are there."""
    [finding] = fired(SLUG, design(axis()))
    assert_says(
        finding,
        "CAUTION",
        limit=(65.0, "V", "data of the part highest voltage"),
        number=("energy", 0.5 * 3e-4 * (1500 * pi / 30) ** 2, "J"),
        mend="2900 µF or more",
    )


def test_a_clamp_at_the_very_limit_is_enough() -> None:
    """The part bears 65 V, and no more than that comes."""
    assert fired(SLUG, design(axis(drive="bus_limit: 65 V, clamp: 65 V"))) == []
