"""The least resistance behind a chopper: what its maker prints, else by twice the peak of the rated output (common
practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "chopper-overloaded"


def braked(ohm: float, drive: str = "") -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
states: {{fast: {{M1: {{speed: 6000 rpm, torque: 1 N·m}}}}}}
parts:
  X0: {{kind: inlet}}
  T1: {{kind: inverter, supply: 200..240 V AC, phases: 1, rated: 1.5 kW, output_current: 7 A, braking: true,
       bus_capacitance: 470 µF, bus_limit: 420 V, clamp: 396 V{drive}}}
  R1: {{kind: braking-resistor, resistance: {ohm} ohm, power: 200 W}}
  M1: {{kind: motor, voltage: 230 V AC, rated_power: 1.1 kW, rated_current: 5 A, metal: false, rotor_inertia: 8 kg·cm2,
       load_inertia: 4 kg·cm2}}
wires:
  - {{wire: 1, from: X0:L, to: T1:L}}
  - {{wire: 2, from: "X0:N", to: "T1:N"}}
  - {{wire: 4, from: T1:R1, to: R1:R1}}
  - {{wire: 5, from: T1:R2, to: R1:R2}}
  - {{wire: 6, from: T1:U, to: M1:U}}
  - {{wire: 7, from: T1:V, to: M1:V}}
  - {{wire: 8, from: T1:W, to: M1:W}}
"""


# 2 x sqrt(2) x 7 A = 19.8 A at 396 V: 20.0 ohm.
@pytest.mark.parametrize(
    ("ohm", "drive", "count"),
    [
        (20.1, "", 0),
        (19.9, "", 1),
        (60.0, ", least_resistance: 60 ohm", 0),
        (59.0, ", least_resistance: 60 ohm", 1),
        (15.0, ", least_resistance: 12 ohm", 0),
    ],
)
def test_the_resistor_is_not_below_the_least(ohm: float, drive: str, count: int) -> None:
    plan = design(braked(ohm, drive))
    assert [one.subjects for one in fired(SLUG, plan)] == [("R1", "T1")] * count
    assert bool(open_questions(SLUG, plan)) is (not drive)


def test_what_it_says() -> None:
    """60 ohm are the maker's figure, and 40 ohm are wired."""
    [finding] = fired(SLUG, design(braked(40.0, ", least_resistance: 60 ohm")))
    assert_says(
        finding,
        "CAUTION",
        limit=(60.0, "ohm", "marking of the part"),
        number=("resistance", 40.0, "ohm"),
        mend="60 ohm or more",
    )
