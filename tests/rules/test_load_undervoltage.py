"""Loads that get too little."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, folded_under
from says import assert_says

SLUG = "load-undervoltage"


def coil(volts: float) -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 2 A}}
  K1: {{kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {{13-14: NO}}}}
wires:
  - {{wire: 1, from: G1:V+, to: K1:A1, size: 10 mm2, length: 1 mm}}
  - {{wire: 2, from: G1:V-, to: K1:A2, size: 10 mm2, length: 1 mm}}
"""


def test_the_finding_points_at_the_coil() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 12 V DC, rated: 2 A}
  K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}     #! load-undervoltage
wires:
  - {wire: 1, from: G1:V+, to: K1:A1, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: G1:V-, to: K1:A2, size: 1.5 mm2, length: 1 m}
""")


# IEC 60947-4-1: a coil attracts at 85 % of its rated voltage, 20.4 V of 24 V.
@pytest.mark.parametrize(("volts", "fires"), [(20.41, False), (20.39, True), (3.0, True)])
def test_the_limit_of_a_coil(volts: float, fires: bool) -> None:
    assert bool(fired(SLUG, design(coil(volts)))) is fires


def test_a_converter_below_its_input() -> None:
    """A cascade whose first stage gives 15 V into an input of 18 V and more is dead, and no load is behind it; a drive
    below its window is told by its own rule."""
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 15 V DC, rated: 2 A}
  D1: {kind: stepper-drive, supply: 18..50 V DC, phase_current: 2 A peak}
wires:
  - {wire: 1, from: G1:V+, to: D1:V+, size: 2.5 mm2, length: 1 m}
  - {wire: 2, from: G1:V-, to: D1:V-, size: 2.5 mm2, length: 1 m}
"""
    assert folded_under(SLUG, design(body)) == {"drive-voltage-outside-window"}


@pytest.mark.parametrize("ends", [("A1", "A2"), ("A2", "A1")])
def test_a_dc_motor_with_its_poles_exchanged_loads_its_supply_as_before(ends: tuple[str, str]) -> None:
    """Exchanging the two conductors of an armature reverses rotation (IEC 60034-8, 5), not what it takes. 60 W at 0.75
    are 80 W; behind 2 x 50 m of 1.5 mm2, 1.2 ohm, V = 12 + sqrt(144 - 96) = 18.9 V against 90 % of 24 V, 21.6 V."""
    body = f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A}}
  M1: {{kind: motor, voltage: 24 V DC, phases: DC, rated_power: 60 W, metal: false}}
wires:
  - {{wire: 1, from: G1:V+, to: "M1:{ends[0]}", size: 1.5 mm2, length: 50 m}}
  - {{wire: 2, from: G1:V-, to: "M1:{ends[1]}", size: 1.5 mm2, length: 50 m}}
"""
    made = design(body)
    [point] = made.states.values()
    [amps] = [abs(value) for key, value in point.dc.element_a.items() if key[0] == "M1"]
    assert amps > 80.0 / 24.0
    assert abs(point.between(("M1", "A1"), ("M1", "A2"), "DC")) * amps == pytest.approx(80.0, rel=1e-6)
    assert [one.subjects[0] for one in fired(SLUG, made)] == ["M1"]


def test_alike_coils_are_told_together() -> None:
    body = coil(18).replace("wires:", "  K2: {kind: relay, coil: 24 V DC 1 W, suppressor: diode}\nwires:")
    body += "  - {wire: 3, from: G1:V+, to: K2:A1}\n  - {wire: 4, from: G1:V-, to: K2:A2}\n"
    assert [item.subjects for item in fired(SLUG, design(body))] == [("K1", "K2")]


def behind_an_output(coil: str) -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}
  K1: {{kind: relay, coil: {coil}, suppressor: none, contacts: {{13-14: NO}}}}
wires:
  - {{wire: 1, from: G1:V+, to: S1:13, size: 1.5 mm2, length: 1 m}}
  - {{wire: 2, from: S1:14, to: K1:A1, size: 1.5 mm2, length: 1 m}}
  - {{wire: 3, from: G1:V-, to: K1:A2, size: 1.5 mm2, length: 1 m}}
"""


# 85 % of 28.2 V is 23.97 V, of 28.3 V 24.06 V (IEC 60947-4-1); the button is open in every state.
@pytest.mark.parametrize(
    ("coil", "fires"),
    [("24 V DC 1 W", False), ("28.2 V DC 1 W", False), ("28.3 V DC 1 W", True), ("230 V AC 5 W", True)],
)
def test_a_coil_that_no_state_feeds_is_judged_by_what_can_reach_it(coil: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(behind_an_output(coil)))) is fires


@pytest.mark.parametrize(("coil", "fires"), [("24 V DC 1 W", False), ("12 V DC 1 W", True), ("24 V AC 1 W", True)])
def test_too_much_for_it_is_told_by_the_rule_on_that(coil: str, fires: bool) -> None:
    found = design(behind_an_output(coil))
    assert bool(fired("part-voltage-exceeded", found)) is fires
    assert fired(SLUG, found) == []


def test_what_it_says() -> None:
    """IEC 60947-4-1: a coil attracts at 85 % of its 24 V; the rail has 20.39 V."""
    [finding] = fired(SLUG, design(coil(20.39)))
    assert_says(
        finding,
        "CAUTION",
        limit=(0.85 * 24, "V", "IEC 60947-4-1 pick-up at 85 % of the rated voltage"),
        number=("voltage", 20.39, "V"),
        mend="20.4 V at the load",
    )


@pytest.mark.parametrize(
    ("kind", "volts", "fires"), [("heater", 20.41, False), ("heater", 20.3, True), ("lamp", 12.0, True)]
)
def test_a_heater_or_lamp_below_its_voltage(kind: str, volts: float, fires: bool) -> None:
    """IEC 60204-1, 4.3.2 and 12.5: 0.9 of the supply and 5 % less are 85.5 %, taken as 85 %: 20.4 V of 24 V."""
    ends = ("1", "2") if kind == "heater" else ("X1", "X2")
    text = coil(volts).replace(
        "kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}", f"kind: {kind}, rated: 24 V DC 1 W"
    )
    text = text.replace("K1:A1", f"K1:{ends[0]}").replace("K1:A2", f"K1:{ends[1]}")
    assert bool(fired(SLUG, design(text))) is fires
