"""No voltage stands between two points of one pole (Kirchhoff's voltage law around a loop without a source)."""

from __future__ import annotations

from helpers import design
from marked_plans import fired
from says import assert_says
from small_plans import plan

SLUG = "load-on-one-pole"
LAMP = "H1: {kind: lamp, rated: 24 V DC 1 W}\n"
COIL = """
K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
S1: {kind: push-button, contacts: {1-2: NO}}
"""


def test_a_lamp_between_two_points_of_one_strip() -> None:
    [finding] = fired(
        SLUG, design(plan(LAMP, "- {wire: 1, from: X1:2, to: H1:X1}\n- {wire: 2, from: X1:3, to: H1:X2}"))
    )
    assert finding.subjects == ("H1",)
    assert_says(finding, "CAUTION", mend="to the pole that belongs there")


def test_a_contact_between_makes_no_difference() -> None:
    wires = "- {wire: 1, from: X1:2, to: S1:1}\n- {wire: 2, from: S1:2, to: H1:X1}\n- {wire: 3, from: X1:3, to: H1:X2}"
    parts = LAMP + "S1: {kind: push-button, contacts: {1-2: NO}}\n"
    assert len(fired(SLUG, design(plan(parts, wires)))) == 1


def test_a_lamp_across_a_contact_lights_through_the_coil_behind_it() -> None:
    wires = """
    - {wire: 1, through: [X1:2, S1:1, H1:X1]}
    - {wire: 2, through: [H1:X2, S1:2, K1:A1]}
    - {wire: 3, from: K1:A2, to: X2:2}
    """
    assert fired(SLUG, design(plan(LAMP + COIL, wires))) == []


def test_a_lamp_between_the_poles_is_right() -> None:
    wires = "- {wire: 1, from: X1:2, to: H1:X1}\n- {wire: 2, from: X2:3, to: H1:X2}"
    assert fired(SLUG, design(plan(LAMP, wires))) == []


THREE = """
mains: {inlet: X0, system: three-phase, voltage: 400 V}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, PE]}
  K1: {kind: contactor, coil: 24 V DC 3 W}
  M1: {kind: motor, voltage: 400 V AC, rated_power: 1.5 kW}
wires:
  - {wire: 1, from: X0:L1, to: K1:1}
  - {wire: 2, from: X0:LINE, to: K1:3}
  - {wire: 3, from: X0:L3, to: K1:5}
  - {wire: 4, from: K1:2, to: M1:U}
  - {wire: 5, from: K1:4, to: M1:V}
  - {wire: 6, from: K1:6, to: M1:W}
"""


def test_a_motor_with_one_line_at_two_terminals_burns() -> None:
    [finding] = fired(SLUG, design(THREE.replace("LINE", "L1")))
    assert (finding.signal, finding.subjects) == ("WARNING", ("M1",))
    assert fired(SLUG, design(THREE.replace("LINE", "L2"))) == []
