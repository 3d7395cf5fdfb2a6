"""Torque of stepper motors at speed: the bound itself is held against its phasor diagram in test_published_motion.

By hand for 3 N·m at 3 A rms, 0.8 ohm, 3.5 mH, 50 teeth, 48 V, 4.2 A peak: K = 3 / (3 sqrt 2) = 0.7071 N·m/A; at 900 rpm
X = 50 · 94.25 · 3.5 mH = 16.49 ohm, Z = 16.51 ohm, V = 4/pi · 48 = 61.12 V: 0.7071 · 61.12 / 16.51
- 0.7071² · 94.25 · 0.8 / 272.6 = 2.618 - 0.138 = 2.479 N·m. At 60 rpm the drive's current limits: 4.2 K = 2.97.
"""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, results
from says import assert_says

from wiring.design.design import Design

SLUG = "torque-lost-at-speed"


def axis(work: str, inductance: str = "phase_inductance: 3.5 mH, ") -> Design:
    """A motor on a drive at 48 V."""
    return design(
        f"""
states: {{busy: {{M1: {{{work}}}}}}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 48 V DC, rated: 10 A}}
  D1: {{kind: stepper-drive, supply: 24..80 V DC, phase_current: 4.2 A peak}}
  M1: {{kind: stepper-motor, phase_current: 3 A rms, phase_resistance: 0.8 ohm, {inductance}holding_torque: 3 N·m}}
  X0: {{kind: inlet}}
mains: {{inlet: X0, system: single-phase, voltage: 230 V}}
wires:
  - {{wire: 1, from: X0:L, to: G1:L}}
  - {{wire: 2, from: "X0:N", to: "G1:N"}}
  - {{wire: 3, from: G1:V+, to: D1:V+}}
  - {{wire: 4, from: G1:V-, to: D1:V-}}
  - {{wire: 5, from: D1:A+, to: M1:A+}}
  - {{wire: 6, from: D1:A-, to: M1:A-}}
  - {{wire: 7, from: D1:B+, to: M1:B+}}
  - {{wire: 8, from: D1:B-, to: M1:B-}}
"""
    )


@pytest.mark.parametrize(
    ("work", "fires"),
    [
        ("speed: 900 rpm, torque: 2.49 N·m", True),
        ("speed: 900 rpm, torque: 2.47 N·m", False),
        ("speed: -900 rpm, torque: -2.49 N·m", True),
        ("speed: 60 rpm, torque: 2.98 N·m", True),
        ("speed: 60 rpm, torque: 2.96 N·m", False),
        ("speed: 900 rpm", False),
    ],
)
def test_what_is_left_at_a_speed_is_the_limit(work: str, fires: bool) -> None:
    assert bool(fired(SLUG, axis(work))) is fires


def test_without_the_inductance_it_is_asked() -> None:
    [asked] = results(SLUG, axis("speed: 900 rpm, torque: 2 N·m", ""))
    assert asked.subjects == ("M1",)


def test_what_it_says() -> None:
    """By hand above, 2.8 N·m asked and 2.479 given. The corner: (R I + K w)2 + (N w L I)2 = V2 at 4.2 A is met at
    44.7 rad/s, 427 rpm."""
    [finding] = fired(SLUG, axis("speed: 900 rpm, torque: 2.8 N·m"))
    assert "up to 427 rpm" in finding.summary
    assert_says(
        finding,
        "CAUTION",
        limit=(2.479, "N·m", "P. Acarnley, Stepping Motors torque at speed, hybrid motor"),
        number=("torque", 2.8, "N·m"),
        mend="less inductance",
    )
