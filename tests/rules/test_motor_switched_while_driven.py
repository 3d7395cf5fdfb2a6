"""Nothing opens between a drive and its motor while the drive feeds it (drive makers' manuals, common practice)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "motor-switched-while-driven"
DRIVE = """
D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 5 V DC}
M1: {kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm, metal: false}
"""
REST = """
- {wire: 2, from: "D1:A-", to: "M1:A-"}
- {wire: 3, from: "D1:B+", to: "M1:B+"}
- {wire: 4, from: "D1:B-", to: "M1:B-"}
- {wire: 5, from: X1:5, to: "D1:V+"}
- {wire: 6, from: X2:5, to: "D1:V-"}
- {wire: P1, from: XPE:5, to: D1:PE}
"""


def through(part: str, a: str, b: str) -> str:
    name = part.split(":")[0]
    wires = (
        f'- {{wire: 1, from: "D1:A+", to: "{name}:{a}"}}   #! {SLUG}\n- {{wire: 7, from: "{name}:{b}", to: "M1:A+"}}\n'
    )
    return plan(DRIVE + part, wires + REST)


def test_a_switch_in_one_phase() -> None:
    assert_marked(through("S1: {kind: key-switch, contacts: {13-14: NO}}", "13", "14"))


@pytest.mark.parametrize(
    ("part", "a", "b", "fires"),
    [
        ("F1: {kind: fuse, rating: 2 A}", "1", "2", True),
        ("Q1: {kind: disconnector, poles: 1}", "1", "2", True),
        ("X9: {kind: terminals, points: 2, bridged: [1-2]}", "1", "2", False),
        ("X9: {kind: connector, contacts: ['1']}", "1", "1", False),
    ],
)
def test_contacts_and_fuses_count_terminals_and_plugs_do_not(part: str, a: str, b: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(through(part, a, b)))) is fires


def test_a_motor_without_a_drive_is_switched_by_its_contactor() -> None:
    body = plan(
        "M1: {kind: motor, voltage: 24 V DC, phases: DC, rated_power: 20 W, metal: false}\n"
        "S1: {kind: key-switch, contacts: {13-14: NO}}",
        "- {wire: 1, from: X1:2, to: S1:13}\n- {wire: 2, from: S1:14, to: M1:A1}\n- {wire: 3, from: M1:A2, to: X2:2}",
    )
    assert fired(SLUG, design(body)) == []


def test_what_it_says() -> None:
    """Common practice of drive makers."""
    [finding] = fired(SLUG, design(through("F1: {kind: fuse, rating: 2 A}", "1", "2")))
    assert_says(finding, "CAUTION", mend="let it cut the supply of D1")
