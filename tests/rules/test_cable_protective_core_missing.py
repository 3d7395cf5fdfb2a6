"""The protective conductor of a driven motor lies in its cable (common practice, drive makers' manuals)."""

from __future__ import annotations

from helpers import design
from marked_plans import fired
from says import assert_says

from wiring.findings import Signal

SLUG = "cable-protective-core-missing"


def driven(core: str = "", wire: str = "", drive: str = "servo") -> str:
    kinds = {
        "servo": (
            "servo-drive, supply: 24..60 V DC, rated_current: 5 A rms",
            "servo-motor, rated_power: 100 W, rated_current: 5 A rms",
            "1: [D1:U, M1:U], 2: [D1:V, M1:V], 3: [D1:W, M1:W]",
        ),
        "stepper": (
            "stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak",
            "stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm",
            '1: ["D1:A+", "M1:A+"], 2: ["D1:A-", "M1:A-"], 3: ["D1:B+", "M1:B+"], 4: ["D1:B-", "M1:B-"]',
        ),
    }[drive]
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 48 V DC, rated: 10 A}}
  XPE: {{kind: earth-bar, points: 6}}
  D1: {{kind: {kinds[0]}}}
  M1: {{kind: {kinds[1]}}}
wires:
  - {{wire: 1, from: G1:V+, to: D1:V+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: D1:V-, size: 2.5 mm2, length: 1 m}}
{wire}
cables:
  - {{cable: C1, size: 1.5 mm2, length: 3 m, join: {{{kinds[2]}{core}}}}}
"""


OUTSIDE = "  - {wire: 3, from: XPE:1, to: M1:PE, size: 4 mm2, length: 4 m}"


def test_outside_the_cable_is_a_notice_at_the_first_phase() -> None:
    [finding] = fired(SLUG, design(driven(wire=OUTSIDE)))
    assert finding.signal is Signal.NOTICE
    assert finding.subjects == ("C1", "M1")
    assert finding.place is not None
    assert finding.place.line == 15


def test_inside_the_cable_is_right_with_or_without_a_second_one() -> None:
    assert fired(SLUG, design(driven(", GNYE: [XPE:2, M1:PE]"))) == []
    assert fired(SLUG, design(driven(", GNYE: [XPE:2, M1:PE]", OUTSIDE))) == []


def test_no_earth_at_all_is_for_another_rule() -> None:
    assert fired(SLUG, design(driven())) == []


def test_stepper_motors_are_left_out() -> None:
    assert fired(SLUG, design(driven(wire=OUTSIDE, drive="stepper"))) == []


def test_a_motor_without_metal_needs_none() -> None:
    assert fired(SLUG, design(driven().replace("rated_power: 100 W", "rated_power: 100 W, metal: false"))) == []


def test_what_it_says() -> None:
    """Common practice of drive makers: the motor is earthed by a core of its own cable."""
    [finding] = fired(SLUG, design(driven(wire=OUTSIDE)))
    assert_says(finding, "NOTICE", mend="protective core for M1")
