"""The coil of a holding brake loses its power with the torque (IEC 60204-1, 4.1, from memory)."""

from __future__ import annotations

from helpers import design
from marked_plans import fired, open_questions
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "brake-stays-released"
PARTS = """
S1: {kind: emergency-stop, contacts: {11-12: NC direct}}
M1: {kind: motor, voltage: 24 V DC, phases: DC, rated_power: 50 W, vertical: true, metal: false}
Y1: {kind: brake, rated: 24 V DC 10 W, holds: M1, suppressor: zener}
"""
STOPS = "stops:\n  emergency: {devices: [S1], category: 0, removes: [M1]}"
WIRES = """
- {wire: 1, from: X1:2, to: S1:11}
- {wire: 2, from: S1:12, to: M1:A1}
- {wire: 3, from: M1:A2, to: X2:2}
- {wire: 5, from: Y1:A2, to: X2:3}
"""


def test_a_brake_fed_in_front_of_the_stop() -> None:
    [finding] = fired(SLUG, design(plan(PARTS, WIRES + "- {wire: 4, from: X1:3, to: Y1:A1}", more=STOPS)))
    assert finding.subjects == ("Y1", "M1")
    assert finding.signal is Signal.WARNING


def test_a_level_axis_is_a_caution() -> None:
    parts = PARTS.replace(", vertical: true", "")
    [finding] = fired(SLUG, design(plan(parts, WIRES + "- {wire: 4, from: X1:3, to: Y1:A1}", more=STOPS)))
    assert finding.signal is Signal.CAUTION


def test_a_brake_fed_behind_the_stop_is_right() -> None:
    assert fired(SLUG, design(plan(PARTS, WIRES + "- {wire: 4, from: S1:12, to: Y1:A1}", more=STOPS))) == []


def test_without_a_stop_or_a_motor_it_is_not_judged() -> None:
    body = plan(PARTS, WIRES + "- {wire: 4, from: X1:3, to: Y1:A1}")
    assert "stop" in open_questions(SLUG, design(body))[0].missing
    nameless = plan(PARTS.replace(" holds: M1,", ""), WIRES + "- {wire: 4, from: X1:3, to: Y1:A1}", more=STOPS)
    assert "holds" in open_questions(SLUG, design(nameless))[0].missing


def test_what_it_says() -> None:
    """Ohm's law: 10 W at 24 V are 57.6 ohm, behind four conductors of unknown size at 20 mohm and a supply of 0.1 % of
    24 V / 10 A."""
    [finding] = fired(SLUG, design(plan(PARTS, WIRES + "- {wire: 4, from: X1:3, to: Y1:A1}", more=STOPS)))
    assert_says(
        finding,
        "WARNING",
        number=("at the coil after the stop", 24 * 57.6 / (57.6 + 4 * 0.020 + 0.0024), "V"),
        mend="behind the contacts that the stop opens",
    )
