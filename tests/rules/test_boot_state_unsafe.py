"""Outputs without a program start nothing (common practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "boot-state-unsafe"
VALVE = "E1: {kind: valve, rated: 24 V DC 5 W, suppressor: diode}"
WIRES = "- {wire: 3, from: A1:O1, to: E1:1}\n- {wire: 4, from: X2:3, to: E1:2}\n"


def card(boot: str, parts: str = VALVE, wires: str = WIRES, mark: str = "") -> str:
    state = f"\n  boot: {boot}{mark}" if boot else ""
    return plan(
        f"A1:\n  kind: controller\n  supply: {{between: [24V, 0V], voltage: 24 V DC, current: 50 mA}}\n"
        f"  outputs: {{O1: pnp}}\n"
        f"  output_current: 0.5 A{state}\n{parts}",
        f"- {{wire: 1, from: X1:2, to: A1:24V}}\n- {{wire: 2, from: X2:2, to: A1:0V}}\n{wires}",
    )


@pytest.mark.parametrize("boot", ["floating", '"on"'])
def test_a_valve_on_an_output_that_is_not_held(boot: str) -> None:
    assert_marked(card(boot, mark="   #! boot-state-unsafe"))


@pytest.mark.parametrize(("boot", "signal"), [("floating", Signal.CAUTION), ('"on"', Signal.WARNING)])
def test_on_is_worse_than_floating(boot: str, signal: Signal) -> None:
    assert [finding.signal for finding in fired(SLUG, design(card(boot)))] == [signal]


def test_off_is_right_and_silence_is_not_judged() -> None:
    assert fired(SLUG, design(card('"off"'))) == []
    assert open_questions(SLUG, design(card("")))[0].subjects == ("A1",)


def test_a_resistor_holds_a_floating_output() -> None:
    held = WIRES + "- {wire: 5, from: A1:O1, to: 'R1:1'}\n- {wire: 6, from: 'R1:2', to: X2:5}\n"
    assert fired(SLUG, design(card("floating", VALVE + "\nR1: {kind: resistor, resistance: 4.7 kohm}", held))) == []


def test_a_lamp_starts_nothing() -> None:
    lamp = "H1: {kind: lamp, rated: 24 V DC 1 W}"
    wires = "- {wire: 3, from: A1:O1, to: H1:X1}\n- {wire: 4, from: X2:3, to: H1:X2}\n"
    assert fired(SLUG, design(card("floating", lamp, wires))) == []
    assert open_questions(SLUG, design(card("", lamp, wires))) == []


@pytest.mark.parametrize(("load", "fires"), [("valve, suppressor: diode", True), ("lamp", False)])
def test_a_relay_counts_by_what_it_switches(load: str, fires: bool) -> None:
    a, b = ("1", "2") if load.startswith("valve") else ("X1", "X2")
    parts = (
        "K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}\n"
        f"E1: {{kind: {load}, rated: 24 V DC 5 W}}"
    )
    wires = (
        "- {wire: 3, from: A1:O1, to: K1:A1}\n- {wire: 4, from: X2:3, to: K1:A2}\n- {wire: 5, from: X1:5, to: K1:13}\n"
        f"- {{wire: 6, from: K1:14, to: E1:{a}}}\n- {{wire: 7, from: X2:5, to: E1:{b}}}\n"
    )
    assert bool(fired(SLUG, design(card("floating", parts, wires)))) is fires


@pytest.mark.parametrize(("contacts", "edits"), [("11-12: NC", 1), ("11-12: NC, 21-22: NC", 0)])
def test_the_mend_of_a_break_contact_leaves_others_alone(contacts: str, edits: int) -> None:
    """A second break contact may lock something out: only one that is alone is turned into a make contact."""
    parts = f"K1: {{kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {{{contacts}}}}}\n{VALVE}"
    wires = (
        "- {wire: 3, from: A1:O1, to: K1:A1}\n- {wire: 4, from: X2:3, to: K1:A2}\n- {wire: 5, from: X1:5, to: K1:11}\n"
        "- {wire: 6, from: K1:12, to: E1:1}\n- {wire: 7, from: X2:5, to: E1:2}\n"
    )
    [finding] = fired(SLUG, design(card('"off"', parts, wires)))
    assert len(finding.mends[0].edits) == edits
    assert "make contact of K1" in finding.mends[0].words


@pytest.mark.parametrize(
    ("way", "started"),
    [
        (["X1:5>K1:11", "K1:12>E1:1"], ["E1"]),
        (["X1:5>K1:11", "X1:5>E1:1"], []),  # the side of the contact that is fed
        (["X1:5>E1:1", "E1:1>K1:11", "K1:12>H1:X1"], []),
        (["X1:5>K1:11", "K1:12>K2:13", "K2:14>E1:1"], []),  # a make contact of another output stands in the way
        (["X1:5>K1:11", "K1:12>K2:11", "K2:12>E1:1"], ["E1"]),
        (["X1:5>K1:11", "K1:12>K3:A1", "X1:6>K3:13", "K3:14>E1:1"], ["E1"]),  # by a relay behind it
        (["X1:5>K1:11", "K1:12>K3:A1", "X1:6>K3:11", "K3:12>E1:1"], []),  # which is in then, and parts it
    ],
)
def test_a_break_contact_starts_what_is_fed_only_by_it(way: list[str], started: list[str]) -> None:
    """All outputs of the card are off at once, each with its relay out."""
    parts = "\n".join(
        f"K{n}: {{kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {{11-12: NC, 13-14: NO}}}}"
        for n in (1, 2, 3)
    )
    fixed = ["A1:O1>K1:A1", "A1:O2>K2:A1", "K1:A2>X2:3", "K2:A2>X2:4", "K3:A2>X2:5", "E1:2>X2:6", "H1:X2>X2:7"]
    ends = (pair.split(">") for pair in fixed + way)
    wires = "\n".join(f"- {{wire: 1{n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(ends))
    text = card('"off"', f"{parts}\n{VALVE}\nH1: {{kind: lamp, rated: 24 V DC 1 W}}", wires)
    found = fired(SLUG, design(text.replace("{O1: pnp}", "{O1: pnp, O2: pnp}")))
    assert {name for one in found for name in one.subjects[1:]} == set(started)


def test_what_it_says() -> None:
    """Common practice: a resistor of 4.7 kohm holds an output that floats."""
    [finding] = fired(SLUG, design(card("floating")))
    assert_says(finding, "CAUTION", mend="4.7 kohm to the return")
