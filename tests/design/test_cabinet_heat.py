"""What heats a cabinet, by the balance of power of each part, and the air of a device where it is thin."""

from __future__ import annotations

import pytest
from helpers import design

from wiring.design.enclosure.cabinet_temperature import Inside

CABINET = "enclosure: {size: 600 x 800 x 250 mm, material: painted-steel, mounting: wall}"


def inside(quiescent_w: float = 10.0, efficiency: int = 90, cabinet: str = CABINET, altitude_m: int = 0) -> Inside:
    """A servo drive at work: 1 N·m at 2000 rpm are 209 W at the shaft."""
    phases = "".join(f"  - {{wire: {u}, from: T1:{u}, to: M1:{u}, size: 1.5 mm2, length: 2 m}}\n" for u in "UVW")
    return design(f"""
site: {{ambient: 35 °C, altitude: {altitude_m} m}}
mains: {{inlet: X0, system: single-phase, voltage: 230 V, fault_current: 1 kA}}
{cabinet}
states:
  busy: {{M1: {{torque: 1 N·m, speed: 2000 rpm}}}}
parts:
  X0: {{kind: inlet}}
  T1: {{kind: servo-drive, supply: 230 V AC, phases: 1, rated_current: 3 A rms, efficiency: {efficiency} %,
       quiescent: {quiescent_w} W}}
  M1: {{kind: servo-motor, rated_power: 400 W, rated_current: 2.5 A rms}}
wires:
  - {{wire: 1, from: X0:L, to: T1:L, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: "T1:N", size: 2.5 mm2, length: 1 m}}
{phases}""").inside


def test_what_a_drive_takes_at_rest_is_heat_to_the_last_watt() -> None:
    """Of what it passes on only the loss heats: 21 W in place of 1 W at rest are 20 W more of heat, no more."""
    assert inside(21.0).parts_w["T1"] - inside(1.0).parts_w["T1"] == pytest.approx(20.0)


def test_a_drive_without_loss_heats_by_what_it_takes_at_rest() -> None:
    assert inside(10.0, 100).parts_w["T1"] == pytest.approx(10.0)


@pytest.mark.parametrize("cabinet", ["", CABINET.replace("600 x 800", "30 x 30"), CABINET])
def test_thin_air_cools_a_device_less_whether_the_cabinet_is_known_or_not(cabinet: str) -> None:
    """Data sheets of supplies count 5 K for each 1000 m above 2000 m (one source): at 2500 m 2.5 K."""
    low, high = inside(cabinet=cabinet, altitude_m=0), inside(cabinet=cabinet, altitude_m=2500)
    assert low.device_c == low.inside_c
    assert high.device_c - high.inside_c == pytest.approx(2.5)
