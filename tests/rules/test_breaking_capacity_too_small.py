"""A device that must break more than it can."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "breaking-capacity-too-small"


def mains(device: str, fault_a: float = 3000.0, given: bool = True) -> str:
    fault = f", fault_current: {fault_a} A" if given else ""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S{fault}}}
parts:
  X0: {{kind: inlet}}
  F1: {device}
  E1: {{kind: load, rated: 230 V AC 100 W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 50 mm2, length: 1 mm}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 50 mm2, length: 1 m}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 50 mm2, length: 1 m}}
"""


def test_the_finding_points_at_the_marking() -> None:
    assert_marked("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 6 kA,
        upstream: {kind: fuse, rating: 16 A, class: gG}}
parts:
  X0: {kind: inlet}
  F1:
    kind: breaker
    rating: 6 A
    curve: C
    breaking: 3 kA       #! breaking-capacity-too-small
  E1: {kind: load, rated: 230 V AC 100 W}
wires:
  - {wire: 1, from: X0:L, to: F1:1, size: 4 mm2, length: 0.3 m}
  - {wire: 2, from: F1:2, to: E1:1, size: 4 mm2, length: 1 m}
  - {wire: 3, from: "X0:N", to: E1:2, size: 4 mm2, length: 1 m}
""")


@pytest.mark.parametrize(("fault_a", "marking"), [(3500, "4500"), (5000, "6000"), (7000, "10000"), (15000, "20000")])
def test_the_next_standard_breaking_capacity_is_offered(fault_a: float, marking: str) -> None:
    """IEC 60898-1 5.3.4: 1.5, 3, 4.5, 6, 10 kA, then 20 kA (from memory)."""
    (found,) = fired(SLUG, design(mains("{kind: breaker, rating: 6 A, curve: C, breaking: 3 kA}", fault_a)))
    assert f"marked {marking} " in found.mend[0]


@pytest.mark.parametrize(("fault_a", "asked"), [(1490, False), (1510, True)])
def test_an_unmarked_breaker_is_sure_of_the_lowest_standard_value_only(fault_a: int, asked: bool) -> None:
    """IEC 60898-1 5.3.4 (from memory): 1.5 kA. Above it the marking tells, which the plan does not give."""
    made = design(mains("{kind: breaker, rating: 6 A, curve: C}", fault_a))
    assert not fired(SLUG, made)
    assert bool(open_questions(SLUG, made)) is asked


# IEC 60364-4-43, 434.5.1: not less than the prospective current. IEC 60127-2: letter L, 35 A or ten times the rating.
@pytest.mark.parametrize(
    ("device", "fault_a", "fires"),
    [
        ("{kind: breaker, rating: 6 A, curve: C, breaking: 3 kA}", 2990, False),
        ("{kind: breaker, rating: 6 A, curve: C, breaking: 3 kA}", 3010, True),
        ("{kind: fuse, rating: 6.3 A, class: T}", 62, False),
        ("{kind: fuse, rating: 6.3 A, class: T}", 64, True),
    ],
)
def test_the_limit(device: str, fault_a: float, fires: bool) -> None:
    assert bool(fired(SLUG, design(mains(device, fault_a)))) is fires


def test_without_a_prospective_current_nothing_is_judged() -> None:
    found = design(mains("{kind: fuse, rating: 1 A, class: T}", given=False))
    assert not fired(SLUG, found)
    assert "fault_current" in open_questions(SLUG, found)[0].missing


def test_a_motor_protector_without_marking_is_not_judged() -> None:
    found = design(mains("{kind: motor-protector, poles: 1, setting: 1 A}"))
    assert not fired(SLUG, found)
    assert "breaking" in open_questions(SLUG, found)[0].missing


def test_a_small_fuse_at_extra_low_voltage_is_an_open_question() -> None:
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A, overload: {mode: constant-current, limit: 110 %}}
  F1: {kind: fuse, rating: 2 A, class: T}
  E1: {kind: load, rated: 24 V DC 12 W}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 10 mm2, length: 0.3 m}
  - {wire: 2, from: F1:2, to: E1:1, size: 10 mm2, length: 1 m}
  - {wire: 3, from: G1:V-, to: E1:2, size: 10 mm2, length: 1 m}
"""
    assert not fired(SLUG, design(body))
    assert [item.subjects for item in open_questions(SLUG, design(body))] == [("F1",)]


def with_motor(fault_a: float) -> str:
    """A breaker of 6 kA beside a motor that draws 7 x 54 A = 378 A with its rotor locked."""
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: 400 V, frequency: 50 Hz, earthing: TN-S, fault_current: {fault_a} A}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE]}}
  F1: {{kind: breaker, rating: 6 A, curve: C, poles: 3, breaking: 6 kA}}
  M1: {{kind: motor, voltage: 400 V AC, phases: 3, rated_power: 30 kW, rated_current: 54 A, start_factor: 7}}
  E1: {{kind: load, rated: 400 V AC 100 W}}
wires:
  - {{wire: 1, from: X0:L1, to: F1:1, size: 50 mm2, length: 1 mm}}
  - {{wire: 2, from: X0:L2, to: F1:3, size: 50 mm2, length: 1 mm}}
  - {{wire: 3, from: X0:L3, to: F1:5, size: 50 mm2, length: 1 mm}}
  - {{wire: 4, from: X0:L1, to: M1:U, size: 50 mm2, length: 1 mm}}
  - {{wire: 5, from: X0:L2, to: M1:V, size: 50 mm2, length: 1 mm}}
  - {{wire: 6, from: X0:L3, to: M1:W, size: 50 mm2, length: 1 mm}}
  - {{wire: 7, from: F1:2, to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 8, from: F1:4, to: E1:2, size: 2.5 mm2, length: 1 m}}
"""


# IEC 60909-0: of three phases I of the mains + 378 A; 6 kA are reached with 5622 A of the mains.
@pytest.mark.parametrize(("fault_a", "fires"), [(5610, False), (5635, True)])
def test_a_running_motor_adds_its_locked_rotor_current(fault_a: float, fires: bool) -> None:
    found = fired(SLUG, design(with_motor(fault_a)))
    assert bool(found) is fires
    if fires:
        assert next(n for n in found[0].numbers if n.name == "from motors").value == pytest.approx(378.0, rel=2e-3)


def test_what_it_says() -> None:
    """The part is marked 3 kA (3000 A) and the mains give 3500 A; the next step of IEC 60898-1 5.3.4 is 4.5 kA."""
    [finding] = fired(SLUG, design(mains("{kind: breaker, rating: 6 A, curve: C, breaking: 3 kA}", 3500)))
    assert_says(
        finding,
        "WARNING",
        limit=(3000.0, "A", "marking of the device"),
        number=("fault current", 3500.0, "A"),
        mend="4.5 kA",
    )


def behind_contacts(resistance: str = "") -> str:
    """A breaker behind a main switch and a residual current device, close to a source of 10 kA."""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 10 kA}}
parts:
  X0: {{kind: inlet}}
  Q1: {{kind: disconnector, poles: 2, rated: 25 A}}
  F1: {{kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: A, breaking: 10 kA}}
  F3: {{kind: breaker, rating: 16 A, curve: C, breaking: 20 kA{resistance}}}
  F2: {{kind: breaker, poles: 2, rating: 6 A, curve: C, breaking: 6 kA}}
  E1: {{kind: load, rated: 230 V AC 100 W}}
wires:
  - {{wire: 1, from: X0:L, to: Q1:1, size: 4 mm2, length: 0.4 m}}
  - {{wire: 2, from: Q1:2, to: F1:1, size: 4 mm2, length: 0.4 m}}
  - {{wire: 3, from: F1:2, to: F3:1, size: 4 mm2, length: 0.4 m}}
  - {{wire: 4, from: F3:2, to: F2:1, size: 4 mm2, length: 1 mm}}
  - {{wire: 5, from: F2:2, to: E1:1, size: 1.5 mm2, length: 1 m}}
  - {{wire: 6, from: "X0:N", to: Q1:3, size: 4 mm2, length: 0.4 m}}
  - {{wire: 7, from: Q1:4, to: F1:3, size: 4 mm2, length: 0.4 m}}
  - {{wire: 8, from: F1:4, to: F2:3, size: 4 mm2, length: 1 mm}}
  - {{wire: 9, from: F2:4, to: E1:2, size: 1.5 mm2, length: 1 m}}
"""


def test_contacts_on_the_way_count_nothing() -> None:
    """230 V / 10 kA is 23 mohm; 1.2 m there and 0.8 m back of 4 mm2 have 4.95 mohm/m at 20 °C (IEC 60228, class 5):
    230 V over (23 + 9.9) mohm is 6.99 kA, above the 6 kA of F2, whatever its switch and poles have; with 10 mohm of F3
    that the plan gives it is 5.36 kA."""
    [found] = fired(SLUG, design(behind_contacts()))
    assert found.subjects == ("F2",)
    assert found.numbers[0].value == pytest.approx(230 / (0.023 + 2.0 * 4.95e-3), rel=0.01)
    assert fired(SLUG, design(behind_contacts(", resistance: 10 mohm"))) == []


@pytest.mark.parametrize(("breaking", "fires", "asked"), [("3 kA", True, 0), ("10 kA", False, 0), ("", False, 1)])
def test_a_residual_current_device_stands_its_marking(breaking: str, fires: bool, asked: int) -> None:
    """IEC 61008-1, 5.3.7: without a marking ten times 25 A, and 500 A at the least."""
    text = behind_contacts().replace(", breaking: 10 kA", f", breaking: {breaking}" if breaking else "")
    text = text.replace("breaking: 6 kA", "breaking: 20 kA")
    assert [one.subjects for one in fired(SLUG, design(text))] == ([("F1",)] if fires else [])
    assert len(open_questions(SLUG, design(text))) == asked


# The prospective current of three-phase mains is that of three phases (IEC 60909-0): neither the neutral nor a fault
# between two lines lets more of it flow. A breaker of 6 kA stands at 5 kA, one of 4.5 kA does not.
@pytest.mark.parametrize(("breaking", "fires"), [("6 kA", False), ("4.5 kA", True)])
def test_the_prospective_current_is_that_of_three_phases(breaking: str, fires: bool) -> None:
    text = with_motor(5000).replace("breaking: 6 kA", f"breaking: {breaking}").replace("L3, PE]", 'L3, "N", PE]')
    text = "\n".join(line for line in text.splitlines() if "M1" not in line)
    found = fired(SLUG, design(text))
    assert bool(found) is fires
    if fires:
        assert found[0].numbers[0].value == pytest.approx(5000.0, rel=2e-3)
