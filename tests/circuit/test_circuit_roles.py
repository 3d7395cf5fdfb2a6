"""What each point of a small circuit is for, derived by hand from what it leads to."""

from __future__ import annotations

import pytest
from helpers import design

from wiring.circuit.roles import Rail, Role
from wiring.design.design import Design

BODY = """
mains: {inlet: X0, system: single-phase, voltage: 230 V}
parts:
  X0: {kind: inlet}
  Q1: {kind: disconnector, poles: 2}
  G1: {kind: supply, input: 230 V AC, output: 48 V DC, rated: 5 A}
  G2: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  F1: {kind: fuse, rating: 4 A, class: gG}
  K1: {kind: relay, coil: 24 V DC 1 W, contacts: {11-14: NO}}
  S1: {kind: push-button, contacts: {13-14: NO}}
  A1: {kind: io-card, supply: {between: [24V, 0V], voltage: 24 V DC, current: 100 mA},
       inputs: {I1: sink}, input_type: 3, common: 0V}
  D1: {kind: stepper-drive, supply: 24..80 V DC, phase_current: 4 A peak}
  M1: {kind: stepper-motor, phase_current: 4 A peak, phase_resistance: 1 ohm}
  X9: {kind: terminals, points: 2}
  XPE: {kind: earth-bar, points: 6}
wires:
  - {wire: 1, from: X0:L, to: Q1:1}
  - {wire: 2, from: X0:N, to: Q1:3}
  - {wire: 3, through: [Q1:2, G1:L, G2:L]}
  - {wire: 4, through: [Q1:4, G1:N, G2:N]}
  - {wire: 5, from: G1:V+, to: F1:1}
  - {wire: 6, from: F1:2, to: K1:11}
  - {wire: 7, from: K1:14, to: D1:V+}
  - {wire: 8, from: D1:V-, to: G1:V-}
  - {wire: 9, from: D1:A+, to: M1:A+}
  - {wire: 10, from: G2:V+, to: S1:13}
  - {wire: 11, from: S1:14, to: A1:I1}
  - {wire: 12, from: G2:V+, to: A1:24V}
  - {wire: 13, from: A1:0V, to: G2:V-}
  - {wire: 14, from: G2:V+, to: K1:A1}
  - {wire: 15, from: K1:A2, to: G2:V-}
  - {wire: 16, from: X0:PE, to: XPE:1}
  - {wire: 17, from: G1:V-, to: XPE:2}
  - {wire: 18, from: G2:V-, to: XPE:3}
  - {wire: 19, from: XPE:4, to: D1:PE}
"""


@pytest.fixture(scope="module")
def found() -> Design:
    return design(BODY)


@pytest.mark.parametrize(
    ("wire", "role"),
    [
        ("1", Role.LIVE),
        ("2", Role.NEUTRAL),
        ("3.2", Role.LIVE),  # through the pole of the main switch
        ("5", Role.PLUS),
        ("6", Role.PLUS),  # through the fuse
        ("7", Role.PLUS),  # through an open contact: what it would carry
        ("8", Role.ZERO),
        ("9", Role.MOTOR),
        ("10", Role.PLUS),
        ("11", Role.SIGNAL),
        ("13", Role.ZERO),
        ("15", Role.ZERO),
        ("16", Role.PE),
        ("17", Role.PE),  # a bond counts as protective earth
        ("19", Role.PE),
    ],
)
def test_the_role_of_a_conductor(found: Design, wire: str, role: Role) -> None:
    assert found.roles.of_conductor(found.circuit.conductor[wire]) is role


def test_two_bonded_rails_stay_two_rails(found: Design) -> None:
    """Both returns meet at the earth bar; a bond carries no role across."""
    assert found.roles.rails["D1", "V-"] == (Rail(Role.ZERO, "G1"),)
    assert found.roles.rails["A1", "0V"] == (Rail(Role.ZERO, "G2"),)
    assert sorted(bond.id for bond in found.roles.bonds) == ["17", "18"]


def test_a_coil_does_not_let_a_rail_through(found: Design) -> None:
    assert found.roles.rails["K1", "A2"] == (Rail(Role.ZERO, "G2"),)


def test_a_point_that_leads_nowhere_has_no_role(found: Design) -> None:
    assert found.roles.role["X9", "1"] is Role.NONE


def test_joined_rails_are_both_named() -> None:
    joined = design(BODY + "  - {wire: 20, from: F1:2, to: G2:V+}\n")
    assert joined.roles.rails["K1", "A1"] == (Rail(Role.PLUS, "G1"), Rail(Role.PLUS, "G2"))


def test_the_order_of_the_wires_changes_nothing(found: Design) -> None:
    head, _, tail = BODY.partition("wires:\n")
    turned = design(head + "wires:\n" + "\n".join(reversed(tail.strip("\n").split("\n"))) + "\n")
    assert turned.roles.role == found.roles.role
    assert turned.roles.rails == found.roles.rails
