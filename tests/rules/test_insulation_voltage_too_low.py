"""Insulation for the highest voltage in a duct (IEC 60204-1, 13.1.3, from memory): line to earth when earthed."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "insulation-voltage-too-low"


def duct(
    control: str, mains: str = "single-phase, voltage: 230 V", line: str = "L", route: str = "duct", mark: str = ""
) -> str:
    return f"""
mains: {{inlet: X0, system: {mains}}}
parts:
  X0: {{kind: inlet, poles: [L, L1, L2, L3, N, PE]}}
  X1: {{kind: terminals, points: 4}}
  X2: {{kind: terminals, points: 4}}
routes:
  duct: {{kind: duct, size: 40 x 60 mm}}
  other: {{kind: duct, size: 40 x 60 mm}}
wires:
  - {{wire: 1, from: X0:{line}, to: X1:1, rated: 600 V, route: duct}}
  - {{wire: 2, from: X1:2, to: X2:2, {control}route: {route}}}{mark}
"""


def test_a_control_wire_beside_the_mains() -> None:
    assert_marked(duct("rated: 100 V, ", mark="   #! insulation-voltage-too-low"))


def test_a_duct_of_its_own_is_right() -> None:
    assert fired(SLUG, design(duct("rated: 100 V, ", route="other"))) == []


@pytest.mark.parametrize(
    ("mains", "line", "rated", "fires"),
    [
        ("single-phase, voltage: 230 V", "L", 229, True),
        ("single-phase, voltage: 230 V", "L", 230, False),
        ("three-phase, voltage: 400 V, earthing: TN-S", "L1", 230, True),
        ("three-phase, voltage: 400 V, earthing: TN-S", "L1", 231, False),
        ("three-phase, voltage: 400 V, earthing: IT", "L1", 300, True),
        ("three-phase, voltage: 400 V, earthing: IT", "L1", 400, False),
        ("split-phase, voltage: 240 V", "L1", 119, True),
        ("split-phase, voltage: 240 V", "L1", 120, False),
    ],
)
def test_line_to_earth_or_between_lines(mains: str, line: str, rated: int, fires: bool) -> None:
    """400 V over the root of three is 230.9 V; an unearthed system counts between its lines."""
    assert bool(fired(SLUG, design(duct(f"rated: {rated} V, ", mains, line)))) is fires


@pytest.mark.parametrize(
    ("mains", "line", "rated", "fires"),
    [
        ("three-phase, voltage: 480 V, earthing: TN-S", "L1", 300, True),
        ("three-phase, voltage: 480 V, earthing: TN-S", "L1", 480, False),
        ("split-phase, voltage: 240 V", "L1", 239, True),
        ("split-phase, voltage: 240 V", "L1", 240, False),
    ],
)
def test_between_any_two_conductors_in_north_america(mains: str, line: str, rated: int, fires: bool) -> None:
    """NFPA 70, article 100: the voltage of a circuit is the greatest between any two of its conductors."""
    assert bool(fired(SLUG, design(duct(f"rated: {rated} V, ", mains, line), "na"))) is fires


def test_a_missing_rating_is_not_judged_beside_the_mains_only() -> None:
    assert open_questions(SLUG, design(duct("")))[0].subjects == ("2",)
    assert open_questions(SLUG, design(duct("", route="other"))) == []


def test_the_motor_conductors_of_an_inverter_count() -> None:
    body = """
parts:
  T1: {kind: inverter, supply: 380..480 V AC, phases: 3, rated: 1 kW, leakage: 2 mA}
  M1: {kind: motor, voltage: 400 V AC, rated_power: 0.75 kW, rated_current: 2 A, metal: false}
wires:
  - {wire: 1, from: T1:U, to: M1:U, rated: 250 V}
  - {wire: 2, from: T1:V, to: M1:V, rated: 300 V}
  - {wire: 3, from: T1:W, to: M1:W, rated: 300 V}
"""
    assert [finding.subjects for finding in fired(SLUG, design(body))] == [("1",)]  # 480/1.732 = 277 V


def test_what_it_says() -> None:
    """IEC 60204-1 13.1.3: all in one duct bear the highest voltage, 230 V; wire 2 is rated 229 V, and 300 V is the
    next step of EN 50525."""
    [finding] = fired(SLUG, design(duct("rated: 229 V, ")))
    assert_says(
        finding,
        "WARNING",
        limit=(230.0, "V", "IEC 60204-1 12.3, 13.1.3"),
        number=("insulation", 229.0, "V"),
        mend="rated 300 V",
    )


@pytest.mark.parametrize(("rated", "fires"), [(239, True), (240, False)])
def test_the_motor_conductors_of_a_single_phase_drive_bear_its_whole_supply(rated: int, fires: bool) -> None:
    """200 to 240 V between line and neutral, which is earthed: 240 V."""
    body = f"""
parts:
  T1: {{kind: inverter, supply: 200..240 V AC, phases: 1, rated: 1 kW, leakage: 2 mA}}
  M1: {{kind: motor, voltage: 230 V AC, rated_power: 0.75 kW, rated_current: 2 A, metal: false}}
wires:
  - {{wire: 1, from: T1:U, to: M1:U, rated: {rated} V}}
  - {{wire: 2, from: T1:V, to: M1:V, rated: 300 V}}
  - {{wire: 3, from: T1:W, to: M1:W, rated: 300 V}}
"""
    assert bool(fired(SLUG, design(body))) is fires


def feed(rated: str, ends: tuple[str, str] = ("L1", "L2"), earthing: str = "TN-S") -> str:
    """A cable with two conductors of three-phase mains to a load."""
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: 400 V, earthing: {earthing}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, "N", PE]}}
  E1: {{kind: load, rated: 400 V AC 100 W, metal: false}}
cables:
  - {{cable: W1, cores: 2, rated: {rated}, join: {{1: ["X0:{ends[0]}", E1:1], 2: ["X0:{ends[1]}", E1:2]}}}}
"""


# U of a cable is the voltage between its conductors, U0 that to earth (IEC 60502-1, 3.1; EN 50525-1, 3; from memory):
# 300/300 V and 300/500 V cables; 400 V between lines, 230.9 V from one to the neutral.
@pytest.mark.parametrize(
    ("rated", "ends", "fires"),
    [
        ("300 V", ("L1", "L2"), True),
        ("300/300 V", ("L1", "L2"), True),
        ("300/500 V", ("L1", "L2"), False),
        ("450/750 V", ("L1", "L2"), False),
        ("300 V", ("L1", "N"), False),
        ("230 V", ("L1", "N"), True),
        ("300 V", ("L1", "L1"), False),
    ],
)
def test_a_cable_bears_the_voltage_between_its_lines(rated: str, ends: tuple[str, str], fires: bool) -> None:
    found = fired(SLUG, design(feed(rated, ends)))
    assert bool(found) is fires
    if fires and ends == ("L1", "L2"):
        assert found[0].summary.endswith("the highest voltage between conductors is 400 V AC")


@pytest.mark.parametrize(("rated", "fires"), [("300 V", True), ("500 V", False)])
def test_the_cable_of_a_motor_bears_the_voltage_between_its_phases(rated: str, fires: bool) -> None:
    """480 V at the upper end of the supply of its inverter."""
    body = f"""
parts:
  T1: {{kind: inverter, supply: 380..480 V AC, phases: 3, rated: 1 kW, leakage: 2 mA}}
  M1: {{kind: motor, voltage: 400 V AC, rated_power: 0.75 kW, rated_current: 2 A, metal: false}}
cables:
  - {{cable: W1, cores: 3, rated: {rated}, join: {{1: [T1:U, M1:U], 2: [T1:V, M1:V], 3: [T1:W, M1:W]}}}}
"""
    assert [finding.subjects for finding in fired(SLUG, design(body))] == ([("W1.1", "W1.2", "W1.3")] if fires else [])
