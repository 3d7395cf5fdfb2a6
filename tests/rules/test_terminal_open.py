"""One end wired and the other open: no current can ever flow."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers import HEAD, design
from marked_plans import assert_marked, fired, results
from says import assert_says
from small_plans import plan

from wiring.changes.outcome import outcome_of
from wiring.findings import Signal

SLUG = "terminal-open"
CARD = "A1: {kind: io-card, inputs: {I1: sink, I2: sink}, input_type: 3, input_voltage: 24 V DC, common: COM}"
SWITCH = "B1: {kind: limit-switch, contacts: {11-12: NC}}"


def test_a_coil_without_its_return() -> None:
    assert_marked(
        plan(
            "K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}   #! terminal-open",
            "- {wire: 1, from: X1:2, to: K1:A1}",
        )
    )


def test_a_motor_with_three_of_four_conductors() -> None:
    assert_marked(
        plan(
            """
            D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 5 V DC}
            M1: {kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm, metal: false}   #! terminal-open
            """,
            """
            - {wire: 1, from: "D1:A+", to: "M1:A+"}
            - {wire: 2, from: "D1:A-", to: "M1:A-"}
            - {wire: 3, from: "D1:B+", to: "M1:B+"}
            - {wire: 5, from: X1:5, to: "D1:V+"}
            - {wire: 6, from: X2:5, to: "D1:V-"}
            - {wire: P1, from: XPE:5, to: D1:PE}
            """,
        )
    )


def test_a_card_whose_inputs_return_nowhere() -> None:
    assert_marked(
        plan(
            f"{CARD}   #! terminal-open\n{SWITCH}",
            "- {wire: 1, from: X1:2, to: B1:11}\n- {wire: 2, from: B1:12, to: A1:I1}",
        )
    )


def test_inputs_that_are_not_used_are_spare() -> None:
    body = plan(
        f"{CARD}\n{SWITCH}",
        "- {wire: 1, from: X1:2, to: B1:11}\n- {wire: 2, from: B1:12, to: A1:I1}\n- {wire: 3, from: A1:COM, to: X2:2}",
    )
    assert fired(SLUG, design(body)) == []


@pytest.mark.parametrize("terminal", ["1", "3"])
def test_a_sensor_with_half_a_supply(terminal: str) -> None:
    wires = {"1": "- {wire: 1, from: X1:2, to: B1:1}", "3": "- {wire: 3, from: X2:2, to: B1:3}"}
    body = plan("B1: {kind: sensor, supply: 10..30 V DC, output: pnp NC}", wires[terminal])
    assert len(fired(SLUG, design(body))) == 1


def test_a_return_in_a_chain_is_a_notice() -> None:
    body = plan(
        """
        D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 24 V DC}
        S1: {kind: push-button, contacts: {13-14: NO}}
        """,
        """
        - {wire: 1, from: X1:2, to: S1:13}
        - {wire: 2, from: S1:14, to: "D1:STEP+"}
        - {wire: 3, through: [X2:2, "D1:STEP-", "D1:DIR-", "D1:ENA-"]}
        - {wire: 4, from: X1:3, to: D1:V+}
        - {wire: 5, from: X2:3, to: D1:V-}
        """,
    )
    assert {finding.signal for finding in fired(SLUG, design(body)) if "DIR+" in finding.summary} == {Signal.NOTICE}


@pytest.mark.parametrize(
    ("part", "end", "open_"),
    [
        ("D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak}", "D1:STEP+", "D1:V+, D1:V-"),
        ("K1: {kind: relay, coil: 24 V DC 1 W, contacts: {13-14: NO}}", "K1:13", "K1:A1, K1:A2"),
    ],
)
def test_what_is_wired_and_never_fed_is_told(part: str, end: str, open_: str) -> None:
    """Both conductors of its feed are missing, so that no terminal of it is half wired; by hand."""
    found = fired(SLUG, design(plan(part, f"- {{wire: 1, from: X1:2, to: '{end}'}}")))
    assert any(open_ in one.summary for one in found)


def test_a_supply_that_feeds_and_is_fed_by_nothing() -> None:
    body = plan(
        "G2: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A, class: II}\n"
        "H1: {kind: lamp, rated: 24 V DC 1 W}",
        '- {wire: 1, from: "G2:V+", to: H1:X1}\n- {wire: 2, from: "G2:V-", to: H1:X2}',
    )
    assert [finding.subjects for finding in fired(SLUG, design(body))] == [("G2",)]


@pytest.mark.parametrize(
    ("wires", "fires"),
    [
        ("", False),
        ("- {wire: 1, from: X1:2, to: S1:11}", True),
        ("- {wire: 1, from: X1:2, to: S1:11}\n- {wire: 2, from: S1:14, to: H1:X1}", False),
        ("- {wire: 1, from: X1:2, to: S1:11}\n- {wire: 2, from: S1:14, to: X5:1}", True),
        ("- {wire: 1, from: X1:2, to: S1:11}\n- {wire: 2, from: S1:14, to: X5:1, title: spare}", False),
        ("- {wire: 1, from: X5:1, to: S1:11}\n- {wire: 2, from: S1:14, to: X5:2}", False),
    ],
)
def test_a_contact_with_one_side_that_leads_nowhere(wires: str, fires: bool) -> None:
    """A change-over contact may leave one throw open; two sides on terminals leave the plan; `spare` says so itself."""
    lamp = "- {wire: 9, from: H1:X2, to: X2:9}" + ("" if "H1:X1" in wires else "\n- {wire: 8, from: H1:X1, to: X1:9}")
    body = plan(
        "S1: {kind: selector, contacts: {11-12: NC, 11-14: NO}}\nH1: {kind: lamp, rated: 24 V DC 1 W}\n"
        "X5: {kind: terminals, points: 3}",
        f"{wires}\n{lamp}",
    )
    assert bool(fired(SLUG, design(body))) is fires


def test_a_sensor_that_reports_to_nobody() -> None:
    wires = "- {wire: 1, from: X1:2, to: B1:1}\n- {wire: 2, from: X2:2, to: B1:3}"
    sensor = "B1: {kind: sensor, supply: 10..30 V DC, output: pnp NC}"
    assert_marked(plan(f"{sensor}   #! terminal-open", wires))
    wired = f"{wires}\n- {{wire: 3, from: B1:4, to: A1:I1}}\n- {{wire: 4, from: A1:COM, to: X2:3}}"
    assert fired(SLUG, design(plan(f"{sensor}\n{CARD}", wired))) == []


ROW = """
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  F1: {{kind: fuse, rating: 2 A, class: gG, rated_voltage: 60 V DC}}
  F2: {{kind: fuse, rating: 2 A, class: gG, rated_voltage: 60 V DC}}
  E1: {{kind: load, rated: 24 V DC 10 W}}
  E2: {{kind: load, rated: 24 V DC 10 W}}
wires:
  - {{wire: 1, through: [G1:V+, F1:1, {feed}]}}
  - {{wire: 2, from: F1:2, to: E1:1}}
  - {{wire: 3, through: [G1:V-, E1:2, E2:2]}}
{load}"""


@pytest.mark.parametrize(
    ("feed", "load", "told"),
    [
        ("F2:1", "  - {wire: 4, from: F2:2, to: E2:1}\n", False),
        ("F2:2", "  - {wire: 4, from: F2:2, to: E2:1}\n", True),
        ("F2:1, E2:1", "", False),
        ("F2:2", "", False),
    ],
)
def test_a_fuse_past_which_its_load_is_fed(feed: str, load: str, told: bool) -> None:
    """By hand: fed at its load side all current goes past F2; a spare fuse at the end of a row is no mistake."""
    found = [f for f in fired(SLUG, design(ROW.format(feed=feed, load=load))) if f.subjects == ("F2",)]
    assert bool(found) is told


def test_a_fuse_inside_a_part_has_no_terminal_that_could_be_open() -> None:
    """Two loads at the pole of an inlet with a fuse built in: its inner side is no terminal."""
    body = """
mains: {inlet: X0, system: single-phase, voltage: 230 V}
parts:
  X0: {kind: inlet, rated: 10 A, fuse: {rating: 6.3 A, class: T}}
  E1: {kind: load, rated: 230 V AC 100 W}
wires:
  - {wire: 1, from: X0:L, to: E1:1}
  - {wire: 2, from: X0:L, to: E1:1}
  - {wire: 3, from: "X0:N", to: E1:2}
"""
    assert [one for one in results("terminal-open", design(body)) if "X0" in one.subjects] == []


def test_what_it_says() -> None:
    """IEC 60204-1 17.2: a coil has two ends."""
    [finding] = fired(
        SLUG,
        design(
            plan(
                "K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}",
                "- {wire: 1, from: X1:2, to: K1:A1}",
            )
        ),
    )
    assert_says(finding, "CAUTION", mend="Wire K1:A2")


def test_a_coil_is_led_back_to_the_pole_of_its_own_source() -> None:
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A, class: II, wires_per_terminal: 2}
  K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
  P1: {kind: lamp, rated: 24 V DC 1 W}
wires:
  - {wire: 1, through: ["G1:V+", "P1:X1", "K1:A1"], size: 1 mm2, length: 1 m}
  - {wire: 2, from: P1:X2, to: G1:V-, size: 1 mm2, length: 1 m}
"""
    before = outcome_of(HEAD.format(book="iec") + body, "plan", Path())
    [finding] = fired(SLUG, before.design)
    after = before.changed(finding.mends[0].edits).design
    assert after.nets.of["K1", "A2"] == after.nets.of["G1", "V-"]
    assert len(after.circuit.conductors) == len(before.design.circuit.conductors) + 1


@pytest.mark.parametrize(("more", "told"), [("", True), ("  - {wire: 3, from: X0:PE, to: F1:PE}\n", False)])
def test_an_arrester_leads_surges_to_earth(more: str, told: bool) -> None:
    """IEC 60364-5-53, 534 (from memory): between each line and the protective conductor."""
    text = """
parts:
  X0: {kind: inlet}
  F1: {kind: surge-arrester, lines: [L]}
wires:
  - {wire: 1, from: X0:L, to: F1:L}
"""
    assert [one.subjects for one in fired(SLUG, design(text + more))] == [("F1",)] * told


@pytest.mark.parametrize(
    ("third", "told"),
    [
        (("X0:L3>K1:5", "K1:6>K2:5"), []),
        (("X0:L3>K1:5", "K1:5>K2:5"), ["K1"]),
        (("X0:L3>K2:5",), []),
        (("X0:L3>K1:5",), []),
    ],
)
def test_a_main_pole_past_which_the_line_is_led_on(third: tuple[str, ...], told: list[str]) -> None:
    """By hand: of three poles two are wired through; the third is led on from its own line side. One that carries
    nothing, or has a conductor that ends there, is not used."""
    ends = [f"X0:L{n}>K1:{2 * n - 1}" for n in (1, 2)] + [f"K1:{2 * n}>K2:{2 * n - 1}" for n in (1, 2)] + [*third]
    ends += [f"K2:{2 * n}>M1:{phase}" for n, phase in enumerate("UVW", 1)]
    body = """
mains: {inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  K1: {kind: contactor, poles: 3, coil: 230 V AC 8 VA}
  K2: {kind: contactor, poles: 3, coil: 230 V AC 8 VA}
  M1: {kind: motor, voltage: 400 V AC, phases: 3, rated_power: 1 kW, metal: false}
wires:
""" + "".join(f"  - {{wire: {n}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(e.split(">") for e in ends))
    poles = [one for one in fired(SLUG, design(body)) if any(f"K1:{n} " in one.summary for n in range(1, 7))]
    assert [one.subjects[0] for one in poles] == told
