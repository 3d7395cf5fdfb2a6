"""IEC 60034-1, 7.3 and NEMA MG 1, 12.44 (from memory): a motor bears 10 % more or less than its voltage."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "motor-voltage-differs"


def on_inverter(plate: str, mains: str = "400 V") -> str:
    wires = [
        "X0:L1>T1:L1",
        "X0:L2>T1:L2",
        "X0:L3>T1:L3",
        "T1:U>M1:U",
        "T1:V>M1:V",
        "T1:W>M1:W",
        "X0:PE>T1:PE",
        "X0:PE>M1:PE",
    ]
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(w.split(">") for w in wires)
    )
    return f"""mains: {{inlet: X0, system: three-phase, voltage: {mains}, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  T1: {{kind: inverter, supply: 200..500 V AC, phases: 3, rated: 1.5 kW}}
  M1: {{kind: motor, voltage: {plate} AC, phases: 3, rated_power: 750 W, work: {{power: 500 W}}}}
wires:
{lines}
"""


@pytest.mark.parametrize(
    ("plate", "mains", "told"),
    [
        ("400 V", "400 V", False),
        ("230 V", "400 V", True),
        ("460 V", "480 V", False),
        ("230 V", "480 V", True),
        ("200 V", "208 V", False),
        ("400 V", "230 V", True),
        ("380 V", "415 V", False),
        ("360 V", "400 V", False),
        ("355 V", "400 V", True),
    ],
)
def test_ten_per_cent_either_way(plate: str, mains: str, told: bool) -> None:
    """400 V is 11 % above 360 V, within the 1 % by which nominal voltages are rounded; it is 12.7 % above 355 V."""
    assert bool(fired(SLUG, design(on_inverter(plate, mains)))) is told


def straight(plate: str, phases: str, volts: str) -> str:
    ends = {"1": ("U1", "U2"), "DC": ("A1", "A2")}[phases]
    return f"""mains: {{inlet: X0, system: single-phase, voltage: {volts}, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  M1: {{kind: motor, voltage: {plate}, phases: {phases}, rated_power: 100 W, work: {{power: 80 W}}}}
wires:
  - {{wire: 1, from: X0:L, to: M1:{ends[0]}}}
  - {{wire: 2, from: X0:N, to: M1:{ends[1]}}}
"""


def test_a_motor_straight_on_its_supply() -> None:
    assert len(fired(SLUG, design(straight("115 V AC", "1", "230 V")))) == 1
    assert fired(SLUG, design(straight("115 V AC", "1", "120 V"))) == []
    assert fired(SLUG, design(straight("230 V AC", "1", "120 V"))) == []  # told as undervoltage


def test_what_it_says() -> None:
    """230 V on the plate, 400 V of the mains; 253 V are 230 V and 10 %."""
    [finding] = fired(SLUG, design(on_inverter("230 V")))
    assert finding.subjects == ("M1", "T1")
    assert_says(
        finding,
        "CAUTION",
        limit=(253.0, "V", "IEC 60034-1 7.3"),
        number=("voltage there is", 400.0, "V"),
        mend="for 400 V",
        rel=0.01,
    )


@pytest.mark.parametrize(("more", "asked"), [("", [("G1", "M1")]), (", open_circuit: 25.7 V DC", [])])
def test_a_battery_of_unknown_voltage_is_asked(more: str, asked: list[tuple[str, ...]]) -> None:
    body = f"""
parts:
  G1: {{kind: battery, voltage: 24 V DC{more}}}
  M1: {{kind: motor, voltage: 24 V DC, phases: DC, rated_power: 60 W, metal: false}}
wires:
  - {{wire: 1, from: G1:+, to: M1:A1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: G1:-, to: M1:A2, size: 2.5 mm2, length: 1 m}}
"""
    assert [one.subjects for one in open_questions(SLUG, design(body))] == asked
