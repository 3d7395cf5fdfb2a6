"""A control rail is tied to earth (IEC 60204-1, 9.4.3.1); above 60 V DC (PELV in dry places, 6.4.1) none may float."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "rail-floating"
RELAY = "K9: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}"


def second(volts: int) -> str:
    return f"G2: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 5 A, class: II}}"


FED = "- {wire: 7, from: X0:L, to: G2:L}\n- {wire: 8, from: X0:N, to: G2:N}\n"


def test_a_control_rail_without_a_bond() -> None:
    assert_marked(
        plan(
            second(24) + "   #! rail-floating\n" + RELAY,
            FED + '- {wire: 1, from: "G2:V+", to: K9:A1}\n- {wire: 2, from: K9:A2, to: "G2:V-"}',
        )
    )


@pytest.mark.parametrize(
    ("hung", "stops", "signal"),
    [
        (RELAY, True, Signal.WARNING),
        (RELAY, False, Signal.CAUTION),
        ("K9: {kind: io-card, common: A2, inputs: {A1: sink}}", True, Signal.CAUTION),
        ("K9: {kind: lamp, rated: 24 V DC 1 W, terminals: {X1: A1, X2: A2}}", True, Signal.NOTICE),
    ],
)
def test_a_second_fault_past_a_coil_may_start_what_a_stop_should_hold(hung: str, stops: bool, signal: Signal) -> None:
    """IEC 60204-1, 9.4.3.1: earth faults shall not start a machine unintended, nor keep it from stopping."""
    stop = "stops: {emergency: {devices: [S1], category: 0}}\n" if stops else ""
    button = "\nS1: {kind: emergency-stop, contacts: {11-12: NC}}"
    wires = FED + '- {wire: 1, from: "G2:V+", to: K9:A1}\n- {wire: 2, from: K9:A2, to: "G2:V-"}'
    [finding] = fired(SLUG, design(plan(f"{second(24)}\n{hung}{button}", wires, more=stop)))
    assert finding.signal is signal


@pytest.mark.parametrize(("volts", "signal"), [(60, Signal.NOTICE), (61, Signal.WARNING)])
def test_a_power_rail_counts_from_the_end_of_extra_low_voltage(volts: int, signal: Signal) -> None:
    """60 V DC: IEC 60204-1:2016, 6.4.1, dry places; the band of IEC 61140 ends at 120 V DC."""
    limit = {60: 120, 61: 121}[volts]
    body = plan(
        second(limit) + f"\nE9: {{kind: load, rated: {limit} V DC 5 W}}",
        FED + '- {wire: 1, from: "G2:V+", to: E9:1}\n- {wire: 2, from: E9:2, to: "G2:V-"}',
    )
    [finding] = fired(SLUG, design(body))
    assert finding.signal is signal


def test_an_isolated_process_output_may_float_and_another_may_not() -> None:
    source = "G2: {kind: process-source, input: 230 V AC, output: 36 V DC, rated: 5 A, isolated: %s}\n"
    load = "E9: {kind: heater, rated: 36 V DC 50 W, metal: false}"
    wires = (
        FED + '- {wire: 1, from: "G2:OUT+", to: E9:1}\n- {wire: 2, from: E9:2, to: "G2:OUT-"}\n'
        "- {wire: P, from: XPE:4, to: G2:PE}"
    )
    assert fired(SLUG, design(plan(source % "true" + load, wires))) == []
    assert len(fired(SLUG, design(plan(source % "false" + load, wires)))) == 1


def test_a_winding_that_feeds_a_rectifier_may_float() -> None:
    body = plan(
        """
        T1: {kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 100 VA}
        V1: {kind: rectifier, rated: 10 A}
        """,
        """
        - {wire: 1, from: X0:L, to: "T1:1.1"}
        - {wire: 2, from: X0:N, to: "T1:1.2"}
        - {wire: 3, from: "T1:2.1", to: V1:AC1}
        - {wire: 4, from: "T1:2.2", to: V1:AC2}
        - {wire: P1, from: XPE:5, to: T1:PE}
        - {wire: P2, from: "V1:-", to: XPE:6}
        """,
    )
    assert fired(SLUG, design(body)) == []


def test_without_an_inlet_it_is_not_judged() -> None:
    body = (
        f"parts:\n  {second(24)}\n  {RELAY}\nwires:\n  - {{wire: 1, from: 'G2:V+', to: K9:A1}}\n"
        "  - {wire: 2, from: K9:A2, to: 'G2:V-'}\n"
    )
    [question] = open_questions(SLUG, design(body))
    assert "inlet" in question.missing


def test_what_it_says() -> None:
    """IEC 61140: extra-low voltage ends at 120 V DC; the rail has 121 V."""
    [finding] = fired(
        SLUG,
        design(
            plan(
                second(121) + "\nE9: {kind: load, rated: 121 V DC 5 W}",
                FED + '- {wire: 1, from: "G2:V+", to: E9:1}\n- {wire: 2, from: E9:2, to: "G2:V-"}',
            )
        ),
    )
    assert_says(
        finding, "WARNING", limit=(120.0, "V", "IEC 61140 4.2 and annex"), number=("rail", 121.0, "V"), mend="Tie G2:V-"
    )
