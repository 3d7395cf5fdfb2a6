"""Parts that mind their polarity, the wrong way round."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

from wiring.plan.edits import SetValue

SLUG = "polarity-reversed"


def two(part: str, plus: str, minus: str, mark: str = "") -> str:
    name = part.split(":")[0]
    return plan(
        part, f"- {{wire: 1, from: X1:2, to: '{name}:{plus}'}}{mark}\n- {{wire: 2, from: X2:2, to: '{name}:{minus}'}}"
    )


CASES = [
    ("E1: {kind: fan, rated: 24 V DC 5 W}", "+", "-"),
    ("A1: {kind: io-card, supply: {between: [24V, 0V], voltage: 24 V DC, current: 50 mA}}", "24V", "0V"),
    ("G2: {kind: converter, input: 18..36 V DC, output: 5 V DC, rated: 1 A}", "IN+", "IN-"),
    ("K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}", "A1", "A2"),
    ("C1: {kind: capacitor, capacitance: 1000 µF}", "+", "-"),
    ("R1: {kind: suppressor, type: diode}", "1", "2"),
    ("T5: {kind: isolator, input_voltage: 24 V DC, output_voltage: 24 V DC}", "IN+", "IN-"),
    ("M4: {kind: servo-motor, rated_power: 100 W, metal: false, encoder: {voltage: 24 V DC}}", "E5V", "E0V"),
]


@pytest.mark.parametrize(("part", "plus", "minus"), CASES)
def test_the_right_way_is_quiet_and_the_wrong_way_fires(part: str, plus: str, minus: str) -> None:
    assert fired(SLUG, design(two(part, plus, minus))) == []
    [finding] = fired(SLUG, design(two(part, minus, plus)))
    assert finding.subjects[0] == part.split(":")[0]


@pytest.mark.parametrize(
    "part",
    [
        "H1: {kind: lamp, rated: 24 V DC 1 W}",
        "M1: {kind: motor, voltage: 24 V DC, phases: DC, rated_power: 20 W, metal: false}",
    ],
)
def test_lamps_and_motors_work_either_way(part: str) -> None:
    ends = ("X1", "X2") if part.startswith("H") else ("A1", "A2")
    assert fired(SLUG, design(two(part, *ends))) == []
    assert fired(SLUG, design(two(part, *reversed(ends)))) == []


def test_the_finding_points_at_the_first_of_the_two_wires() -> None:
    assert_marked(two(CASES[0][0], "-", "+", "   #! polarity-reversed"))


def test_a_reversed_card() -> None:
    assert_marked(two(CASES[1][0], "0V", "24V", "   #! polarity-reversed"))


def test_line_and_neutral_swapped() -> None:
    body = (
        plan()
        .replace("from: X0:L, to: G1:L", "from: X0:N, to: G1:L")
        .replace("from: X0:N, to: G1:N", "from: X0:L, to: G1:N")
    )
    assert [finding.subjects[0] for finding in fired(SLUG, design(body))] == ["G1"]


def test_a_switch_in_the_way_changes_nothing() -> None:
    body = plan(
        "E1: {kind: fan, rated: 24 V DC 5 W}\nS1: {kind: push-button, contacts: {13-14: NO}}",
        '- {wire: 1, from: X1:2, to: S1:13}\n- {wire: 2, from: S1:14, to: "E1:-"}\n- {wire: 3, from: X2:2, to: "E1:+"}',
    )
    assert len(fired(SLUG, design(body))) == 1


def test_what_it_says() -> None:
    """The marking of the terminals is the expectation."""
    [finding] = fired(SLUG, design(two(CASES[0][0], "-", "+")))
    assert_says(finding, "CAUTION", mend="Swap the conductors at E1:+ and E1:-")


def test_crossed_windings_are_uncrossed_by_two_ends() -> None:
    """By hand: A- of the motor hangs on phase B and B+ on phase A; each takes the conductor of the other."""
    crossed = {"A+": "A+", "A-": "B+", "B+": "A-", "B-": "B-"}
    body = """
parts:
  D1: {kind: stepper-drive, supply: 20..50 V DC, phase_current: 2 A peak}
  M1: {kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 0.75 ohm, metal: false}
wires:
""" + "".join(f"  - {{wire: {n}, from: D1:{a}, to: M1:{b}}}\n" for n, (a, b) in enumerate(crossed.items(), 1))
    [finding] = fired(SLUG, design(body))
    changed = {edit.path: edit.value.strip('"') for edit in finding.mends[0].edits if isinstance(edit, SetValue)}
    assert changed == {("wires", "2", "to"): "M1:A-", ("wires", "3", "to"): "M1:B+"}


@pytest.mark.parametrize(
    ("output", "at", "told"),
    [
        ("pnp NO", {"1": "X1:2", "3": "X2:2", "4": "A1:I1"}, []),
        ("pnp NO", {"4": "X1:2", "3": "X2:2", "1": "A1:I1"}, ["B1:1 and B1:4"]),
        ("pnp NO", {"1": "X1:2", "4": "X2:2", "3": "A1:I1"}, ["B1:3 and B1:4"]),
        ("npn NO", {"1": "X1:2", "3": "X2:2", "4": "A1:I1"}, []),
        ("npn NO", {"1": "X1:2", "4": "X2:2", "3": "A1:I1"}, ["B1:3 and B1:4"]),
    ],
)
def test_a_sensor_whose_output_changed_places_with_a_supply_terminal(
    output: str, at: dict[str, str], told: list[str]
) -> None:
    """IEC 60947-5-2: 1 is positive, 3 negative, 4 the output."""
    body = plan(
        "A1: {kind: io-card, supply: {between: [24V, 0V], voltage: 24 V DC, current: 50 mA}, inputs: {I1: sink}, "
        f"common: 0V}}\nB1: {{kind: sensor, supply: 10..30 V DC, output: {output}}}",
        "\n".join(f"- {{wire: {end}, from: 'B1:{end}', to: '{to}'}}" for end, to in at.items())
        + "\n- {wire: 7, from: X1:1, to: A1:24V}\n- {wire: 8, from: X2:1, to: A1:0V}",
    )
    found = [one for one in fired(SLUG, design(body)) if one.subjects[0] == "B1"]
    assert [one.mends[0].words for one in found] == [f"Swap the conductors at {ends}." for ends in told]


@pytest.mark.parametrize(("plus", "minus", "told"), [("A1", "A2", []), ("A2", "A1", ["V1"])])
def test_a_controller_pulses_a_semiconductor_relay_through_a_contact(plus: str, minus: str, told: list[str]) -> None:
    """The input of a semiconductor relay conducts one way; P+ gives the plus."""
    body = f"""
parts:
  N1: {{kind: temperature-controller, supply: 230 V AC 5 VA, outputs: {{P+-P-: pulse 12 V}}}}
  S1: {{kind: selector, contacts: {{13-14: NO}}}}
  V1: {{kind: solid-state-relay, control: 4..32 V DC, rated: 25 A, rated_voltage: 24..280 V AC}}
wires:
  - {{wire: 1, from: N1:P+, to: S1:13}}
  - {{wire: 2, from: S1:14, to: V1:{plus}}}
  - {{wire: 3, from: N1:P-, to: V1:{minus}}}
"""
    assert [one.subjects[0] for one in fired(SLUG, design(body))] == told
