"""Worked examples of pages and books, each as a small plan that the rules judge.

`tests/data/examples` names the source of every row. The limit that a finding prints is the printed answer of the row.
"""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from published_rows import worked

AMPACITY, DEVICES = worked("ampacity"), worked("overcurrent")


def printed(example: str, name: str) -> float:
    rows = AMPACITY if example.startswith("B") else DEVICES
    return float(rows[example].expected[name])


def single_phase_motors(count: int, size: str) -> str:
    """So many motors of 5 hp on one pair of conductors of 240 V, 28 A each by table 430.248."""
    parts = "".join(
        f"  M{n}: {{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 5 hp, rated_current: 28 A, metal: false}}\n"
        for n in range(1, count + 1)
    )
    wires = "".join(
        f'  - {{wire: {line}{n}, from: "X{line}:{n + 1}", to: M{n}:{end}, size: 1/0 AWG, insulation: TW, '
        "length: 1 cm}\n"
        for n in range(1, count + 1)
        for line, end in (("L", "U1"), ("N", "U2"))
    )
    points = count + 1
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 240 V, upstream: {{kind: breaker, rating: 200 A, curve: D}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 200 A}}
  XL: {{kind: terminals, points: {points}, bridged: [1-{points}]}}
  XN: {{kind: terminals, points: {points}, bridged: [1-{points}]}}
{parts}
wires:
  - {{wire: feed, from: X0:L, to: XL:1, size: {size}, insulation: TW, length: 1 cm}}
  - {{wire: back, from: "X0:N", to: XN:1, size: 250 kcmil, insulation: TW, length: 1 cm}}
{wires}
"""


@pytest.mark.parametrize(
    ("count", "fitting", "thinner", "needed"),
    [
        (1, "8 AWG", "10 AWG", 35.0),  # B06: 28 A x 1.25 asks for 35 A; 8 AWG carries 40 A, 10 AWG 30 A
        (4, "1/0 AWG", "1 AWG", printed("C01", "min_conductor_A")),  # C01 and B07: 119 A; 1/0 AWG 125 A, 1 AWG 110 A
    ],
)
def test_conductors_of_one_motor_and_of_four(count: int, fitting: str, thinner: str, needed: float) -> None:
    slug = "motor-conductor-margin-small"
    assert fired(slug, design(single_phase_motors(count, fitting), "na")) == []
    [finding] = fired(slug, design(single_phase_motors(count, thinner), "na"))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(needed)
    assert fitting in finding.mend[0]


def three_phase_motor(device: str, power: str, volts: int, amps: float, size: str = "250 kcmil") -> str:
    lines = "".join(
        f'  - {{wire: {n}, from: X0:L{n}, to: "F1:{2 * n - 1}", size: 500 kcmil, length: 1 ft, insulation: THW}}\n'
        f'  - {{wire: 1{n}, from: "F1:{2 * n}", to: M1:{end}, size: {size}, length: 1 ft, insulation: TW}}\n'
        for n, end in ((1, "U"), (2, "V"), (3, "W"))
    )
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: {volts} V, upstream: {{kind: breaker, rating: 600 A, curve: D}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE], rated: 600 A}}
  F1: {device}
  M1: {{kind: motor, voltage: {volts} V AC, phases: 3, rated_power: {power}, rated_current: {amps} A, metal: false}}
wires:
{lines}
"""


def test_breaker_and_conductor_of_a_motor_of_seven_and_a_half_horsepower() -> None:
    """C02: 22 A by table 430.250; conductor 27.5 A, so 10 AWG at 60 °C; breaker 55 A, so 60 A."""

    def plan(rating: float, size: str = "10 AWG") -> str:
        device = f"{{kind: breaker, poles: 3, rating: {rating} A, curve: D}}"
        return three_phase_motor(device, "7.5 hp", 230, 22.0, size)

    most = printed("C02", "max_breaker_A")
    assert fired("motor-device-too-large", design(plan(most), "na")) == []
    [finding] = fired("motor-device-too-large", design(plan(70), "na"))
    assert finding.limit is not None
    assert finding.limit.value == most
    assert fired("motor-conductor-margin-small", design(plan(60), "na")) == []
    [finding] = fired("motor-conductor-margin-small", design(plan(60, "12 AWG"), "na"))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(printed("C02", "min_conductor_A"))
    assert str(DEVICES["C02"].expected["size_awg"]) in finding.mend[0]


def test_dual_element_fuses_of_a_large_motor() -> None:
    """C03: 240 A by table 430.250 for 200 hp at 460 V; 175 % are 420 A, next standard rating 450 A."""

    def plan(rating: float) -> str:
        device = f"{{kind: fuse, poles: 3, rating: {rating} A, class: J, time_delay: true}}"
        return three_phase_motor(device, "200 hp", 480, 240.0)

    assert fired("motor-device-too-large", design(plan(printed("C03", "next_standard_A")), "na")) == []
    [finding] = fired("motor-device-too-large", design(plan(500), "na"))
    assert finding.limit is not None
    assert finding.limit.value == printed("C03", "next_standard_A")


@pytest.mark.parametrize(
    ("example", "amps", "needed"),
    [("C04", 24.0, printed("C04", "min_ocpd_A")), ("C06", 20.0, printed("C06", "min_ampacity_A"))],
)
def test_devices_and_conductors_of_a_continuous_load(example: str, amps: float, needed: float) -> None:
    """C04: 24 A ask for a device of 30 A; C06: 20 A for conductors of 25 A (NFPA 70 210.20(A), 210.19(A)(1))."""

    def plan(rating: float, size: str) -> str:
        return f"""
mains: {{inlet: X0, system: single-phase, voltage: 277 V, fault_current: 50 kA,
        upstream: {{kind: breaker, rating: 60 A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 60 A}}
  F1: {{kind: breaker, rating: {rating} A, curve: C}}
  E1: {{kind: load, rated: 277 V AC {277 * amps} W, metal: false, continuous: true}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 4 AWG, insulation: TW, length: 1 cm}}
  - {{wire: 2, from: F1:2, to: E1:1, size: {size}, insulation: TW, length: 1 cm}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 4 AWG, insulation: TW, length: 1 cm}}
"""

    slug = "continuous-load-margin-small"
    if example == "C04":
        assert fired(slug, design(plan(needed, "8 AWG"), "na")) == []
        [finding] = fired(slug, design(plan(25, "8 AWG"), "na"))
    else:
        assert fired(slug, design(plan(60, "10 AWG"), "na")) == []
        [finding] = fired(slug, design(plan(60, "12 AWG"), "na"))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(needed, rel=0.01)
