"""Motors that nothing protects against overload."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "motor-overload-missing"


def direct(device: str, motor: str) -> str:
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: 400 V, frequency: 50 Hz, earthing: TN-S, fault_current: 3 kA,
        upstream: {{kind: breaker, rating: 16 A, curve: C}}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE]}}
  F1: {device}
  M1: {{kind: motor, voltage: 400 V AC, phases: 3, {motor}}}
wires:
  - {{wire: 1, from: X0:L1, to: F1:1, size: 4 mm2, length: 1 m}}
  - {{wire: 2, from: X0:L2, to: F1:3, size: 4 mm2, length: 1 m}}
  - {{wire: 3, from: X0:L3, to: F1:5, size: 4 mm2, length: 1 m}}
  - {{wire: 4, from: F1:2, to: M1:U, size: 4 mm2, length: 4 m}}
  - {{wire: 5, from: F1:4, to: M1:V, size: 4 mm2, length: 4 m}}
  - {{wire: 6, from: F1:6, to: M1:W, size: 4 mm2, length: 4 m}}
  - {{wire: 7, from: X0:PE, to: M1:PE, size: 4 mm2, colour: GNYE, length: 4 m}}
"""


BREAKER = "{kind: breaker, poles: 3, rating: 6 A, curve: D, breaking: 6 kA}"


def test_the_finding_points_at_the_motor() -> None:
    body = direct(BREAKER, "rated_power: 1.1 kW, rated_current: 2.7 A, efficiency: 80 %")
    assert_marked(body.replace("efficiency: 80 %}\n", "efficiency: 80 %}      #! motor-overload-missing\n"))


# IEC 60204-1, 7.3.1: motors of more than 0.5 kW. NFPA 70, 430.32: every motor.
@pytest.mark.parametrize(
    ("power", "book", "fires"), [("0.5 kW", "iec", False), ("0.51 kW", "iec", True), ("0.1 kW", "na", True)]
)
def test_which_motors_need_a_device(power: str, book: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(direct(BREAKER, f"rated_power: {power}, rated_current: 1.2 A"), book))) is fires


# IEC 60204-1, 7.3.2: set to the rated current. NFPA 70, 430.32(A)(1): 115 % without a marked service factor.
@pytest.mark.parametrize(
    ("setting", "book", "fires"),
    [(2.7, "iec", False), (2.71, "iec", True), (3.1, "na", False), (3.11, "na", True)],
)
def test_the_setting(setting: float, book: str, fires: bool) -> None:
    device = f"{{kind: motor-protector, setting: {setting} A, breaking: 50 kA}}"
    found = fired(SLUG, design(direct(device, "rated_power: 1.1 kW, rated_current: 2.7 A"), book))
    assert [item.subjects for item in found] == ([("F1", "M1")] if fires else [])


def test_a_motor_without_rated_current_is_not_judged() -> None:
    found = design(direct("{kind: motor-protector, setting: 2.7 A, breaking: 50 kA}", "rated_power: 1.1 kW"))
    assert not fired(SLUG, found)
    assert "rated_current" in open_questions(SLUG, found)[0].missing


# NFPA 70, 430.32(A)(1): 125 % for a marked service factor of 1.15 or more.
@pytest.mark.parametrize(
    ("factor", "setting", "fires"), [(1.15, 3.37, False), (1.15, 3.38, True), (1.0, 3.11, True), (1.25, 3.37, False)]
)
def test_a_marked_service_factor_allows_more(factor: float, setting: float, fires: bool) -> None:
    device = f"{{kind: motor-protector, setting: {setting} A, breaking: 50 kA}}"
    motor = f"rated_power: 1.1 kW, rated_current: 2.7 A, service_factor: {factor}"
    assert bool(fired(SLUG, design(direct(device, motor), "na"))) is fires


def test_what_it_says() -> None:
    """IEC 60204-1 7.3.1: above 0.5 kW; the motor has 0.51 kW and 1.2 A."""
    [finding] = fired(SLUG, design(direct(BREAKER, "rated_power: 0.51 kW, rated_current: 1.2 A")))
    assert_says(
        finding,
        "WARNING",
        limit=(0.5 * 1000, "W", "IEC 60204-1 7.3.1"),
        number=("rated power", 0.51 * 1000, "W"),
        mend="set to 1.2 A",
    )


@pytest.mark.parametrize(("dial", "told"), [("1.6..2.5 A", 2.5), ("4..6 A", 4.0), ("2.5..4 A", None)])
def test_a_dial_without_the_setting(dial: str, told: float | None) -> None:
    """A dial from a to b has the settings between a and b."""
    device = f"{{kind: motor-protector, setting: 2.7 A, range: {dial}, breaking: 50 kA}}"
    found = fired(SLUG, design(direct(device, "rated_power: 1.1 kW, rated_current: 2.7 A")))
    assert [one.limit.value for one in found if one.limit] == ([told] if told else [])
    assert all(one.subjects == ("F1",) and one.signal == "CAUTION" for one in found)


@pytest.mark.parametrize(("own", "missing"), [((), ["M1", "M2"]), (("M1",), ["M2"]), (("M1", "M2"), [])])
def test_of_several_motors_on_one_inverter_each_needs_its_own(own: tuple[str, ...], missing: list[str]) -> None:
    """NEC 430.124(C), IEC 60204-1, 7.3.1 (from memory): an inverter sees the sum of its motors alone."""
    ends = []
    for motor, device in (("M1", "F1"), ("M2", "F2")):
        for n, phase in enumerate("UVW"):
            way = [f"T1:{phase}", f"{device}:{2 * n + 1}", f"{device}:{2 * n + 2}", f"{motor}:{phase}"]
            pairs = [way[:2], way[2:]] if motor in own else [[way[0], way[3]]]
            ends += [f"  - {{wire: {motor}{phase}{k}, from: '{a}', to: '{b}'}}" for k, (a, b) in enumerate(pairs)]
    wires = "\n".join(ends)
    body = f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}}
parts:
  X0: {{kind: inlet}}
  T1: {{kind: inverter, supply: 200..240 V AC, rated: 2.2 kW, metal: false}}
  F1: {{kind: motor-protector, setting: 3 A}}
  F2: {{kind: motor-protector, setting: 3 A}}
  M1: {{kind: motor, voltage: 230 V AC, rated_power: 750 W, metal: false}}
  M2: {{kind: motor, voltage: 230 V AC, rated_power: 750 W, metal: false}}
wires:
  - {{wire: 1, from: 'X0:L', to: 'T1:L'}}
  - {{wire: 2, from: 'X0:N', to: 'T1:N'}}
{wires}
"""
    assert [one.subjects[0] for one in fired(SLUG, design(body))] == missing
