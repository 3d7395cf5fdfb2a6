"""Current into signal inputs: 7 to 16 mA around 10 mA (one drive's manual); voltages of input types (IEC 61131-2)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

from wiring.plan.edits import AddEntry

SLUG = "input-current-wrong"


def opto(series_ohm: float, signals: str = ", signals: 5 V DC", rail: float = 24.0, mark: str = "") -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {rail} V DC, rated: 5 A}}
  D1: {{kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak{signals}}}{mark}
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}
  R1: {{kind: resistor, resistance: {series_ohm} ohm}}
wires:
  - {{wire: 1, from: 'G1:V+', to: S1:13}}
  - {{wire: 2, from: S1:14, to: 'R1:1'}}
  - {{wire: 3, from: 'R1:2', to: 'D1:ENA+'}}
  - {{wire: 4, from: 'D1:ENA-', to: 'G1:V-'}}
"""


def test_24_volts_on_a_5_volt_input() -> None:
    assert_marked(opto(1.0, mark="   #! input-current-wrong"))


def test_5_volts_on_an_input_set_to_24() -> None:
    assert_marked(opto(1.0, ", signals: 24 V DC", 5.0, "   #! input-current-wrong"))


@pytest.mark.parametrize(("ohm", "fires"), [(1040.0, True), (1055.0, False), (2860.0, False), (2890.0, True)])
def test_the_window(ohm: float, fires: bool) -> None:
    """By hand: the input is (5 - 1.2) V / 10 mA = 380 ohm; 22.8 V over 16 mA is 1425 ohm, over 7 mA 3257 ohm in all."""
    assert bool(fired(SLUG, design(opto(ohm)))) is fires


@pytest.mark.parametrize(("rail", "ohm"), [(5.0, 0.01), (12.0, 1000.0), (24.0, 2000.0)])
def test_the_resistors_of_the_trade_are_right(rail: float, ohm: float) -> None:
    """0 ohm at 5 V, 1 kohm at 12 V, 2 kohm at 24 V (common practice, no source)."""
    assert fired(SLUG, design(opto(ohm, rail=rail))) == []


def test_a_3_volt_output_is_too_little() -> None:
    """(3.3 - 1.2) V over 380 ohm is 5.5 mA, below the 7 mA of the window."""
    assert len(fired(SLUG, design(opto(0.01, rail=3.3)))) == 1


@given(st.floats(1.0, 10000.0), st.floats(3.0, 48.0))
def test_the_current_is_ohms_law(ohm: float, rail: float) -> None:
    ohm, rail = round(ohm, 1), round(rail, 1)
    for finding in fired(SLUG, design(opto(ohm, rail=rail))):
        assert finding.numbers[0].value == pytest.approx(max(rail - 1.2, 0.0) / (380.0 + ohm + 0.03), rel=1e-3)


def test_a_known_resistance_is_used() -> None:
    """4.7 kohm for 24 V: (24 - 1.2) V over 4.7 kohm is 4.9 mA and right for that input."""
    signals = ", signals: 24 V DC, signal_resistance: 4.7 kohm"
    assert fired(SLUG, design(opto(1.0, signals))) == []


@pytest.mark.parametrize("signals", ["", ", signals: 1.2 V DC", ", signals: 1 V DC"])
def test_a_drive_that_says_nothing_is_not_judged(signals: str) -> None:
    """Nor one that says what its diode alone would take: 1.2 V (common practice)."""
    assert open_questions(SLUG, design(opto(1.0, signals)))[0].subjects == ("D1",)


def card(rail: float, more: str = "input_type: 1") -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {rail} V DC, rated: 5 A}}
  A1: {{kind: io-card, inputs: {{I1: sink}}, {more}, input_voltage: 24 V DC, common: COM}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}
wires:
  - {{wire: 1, from: 'G1:V+', to: S1:13}}
  - {{wire: 2, from: S1:14, to: A1:I1}}
  - {{wire: 3, from: A1:COM, to: 'G1:V-'}}
"""


@pytest.mark.parametrize(
    ("rail", "input_type", "fires"),
    [
        (14.9, "1", True),
        (15.1, "1", False),
        (10.9, "3", True),
        (11.1, "3", False),
        (12.0, "1", True),
        (12.0, "2", False),
    ],
)
def test_the_on_voltage_of_a_type(rail: float, input_type: str, fires: bool) -> None:
    """IEC 61131-2: type 1 reads on from 15 V, types 2 and 3 from 11 V."""
    assert bool(fired(SLUG, design(card(rail, f"input_type: {input_type}")))) is fires


def test_a_return_to_another_supply_gives_no_current() -> None:
    body = plan(
        """
        G2: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A, class: II, wires_per_terminal: 2}
        D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 24 V DC}
        S1: {kind: push-button, contacts: {13-14: NO}}
        """,
        """
        - {wire: 1, from: X1:2, to: S1:13}
        - {wire: 2, from: S1:14, to: "D1:ENA+"}
        - {wire: 3, from: "D1:ENA-", to: "G2:V-"}
        """,
    )
    [finding] = fired(SLUG, design(body))
    assert finding.summary.startswith("No current can flow")
    assert "no two poles of one source" in finding.summary


def test_returns_that_meet_at_the_earth_let_a_current_flow() -> None:
    """Both returns are bonded to the bar: 24 V of G1 stand at the input of D1, and drive a current by the earth."""
    text = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}
parts:
  X0: {kind: inlet}
  XPE: {kind: earth-bar, points: 4}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A, class: II, wires_per_terminal: 2}
  G2: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A, class: II, wires_per_terminal: 2}
  D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 24 V DC, metal: false}
  S1: {kind: push-button, contacts: {13-14: NO}}
wires:
  - {wire: 1, from: G1:V+, to: S1:13}
  - {wire: 2, from: S1:14, to: "D1:ENA+"}
  - {wire: 3, from: "D1:ENA-", to: "G2:V-"}
  - {wire: 4, from: "G1:V-", to: XPE:1}
  - {wire: 5, from: "G2:V-", to: XPE:2}
  - {wire: 6, from: X0:PE, to: XPE:3}
"""
    [finding] = fired(SLUG, design(text))
    assert finding.summary.startswith("By the protective earth alone a current flows into D1:ENA+")


def test_a_card_without_a_type_is_not_judged() -> None:
    text = card(24.0).replace("input_type: 1, ", "")
    assert "input_type" in open_questions(SLUG, design(text))[0].missing


def test_what_it_says() -> None:
    """An opto-coupler of 1.2 V and 380 ohm behind 1040 ohm at 24 V; 16 mA is the most of one maker. For 10 mA (24 -
    1.2) V / 10 mA - 380 ohm = 1900 ohm are right."""
    [finding] = fired(SLUG, design(opto(1040.0)))
    assert_says(
        finding,
        "CAUTION",
        limit=(16 / 1000, "A", "Trade practice window of current of drive inputs, from one drive's manual"),
        number=("current", (24 - 1.2) / (1040 + 380), "A"),
        mend="1900 ohm in series",
    )


@pytest.mark.parametrize(
    ("output", "plus", "minus"), [("pnp", "B1:4", "G1:V-"), ("npn", "G1:V+", "B1:4")], ids=["ahead", "in the return"]
)
def test_the_resistor_leaves_out_what_the_sensor_loses(output: str, plus: str, minus: str) -> None:
    """By hand: 24 V less 2 V of the sensor and 1.2 V of the input are 20.8 V; at 10 mA 2080 ohm, of which the input has
    380: 1700 ohm."""
    [finding] = fired(
        SLUG,
        design(f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  D1: {{kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 5 V DC}}
  B1: {{kind: sensor, supply: 10..30 V DC, output: {output} NO, leakage: 0.1 mA, drop: 2 V}}
wires:
  - {{wire: 1, from: G1:V+, to: B1:1}}
  - {{wire: 2, from: B1:3, to: G1:V-}}
  - {{wire: 3, from: "{plus}", to: D1:ENA+}}
  - {{wire: 4, from: D1:ENA-, to: "{minus}"}}
"""),
    )
    assert finding.mend[0].startswith("Put 1700 ohm in series")


def sized(polarity: tuple[str, str], parts: str = "", drives: tuple[str, str] = ("X1:2", "X2:2")) -> str:
    """A drive's input of 5 V on wires of a size, from two terminals."""
    return plan(
        "D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 5 V DC}\n" + parts,
        f"""
        - {{wire: 1, from: "{drives[0]}", to: "D1:{polarity[0]}", size: 1 mm2, length: 1 m}}
        - {{wire: 2, from: "{drives[1]}", to: "D1:{polarity[1]}", size: 1 mm2, length: 1 m}}
        """,
    )


def test_the_resistor_put_in_is_one_that_is_sold() -> None:
    """1900 ohm as below; the series E12 (IEC 60063) has 1800 ohm under it."""
    [finding] = fired(SLUG, design(sized(("ENA+", "ENA-"))))
    [made] = [edit for edit in finding.mends[0].edits if isinstance(edit, AddEntry)]
    assert "resistance: 1800 ohm" in made.value


def test_an_output_that_drives_an_input_backwards_is_told_here_and_a_supply_that_does_is_not() -> None:
    """The diode of an input conducts one way; a supply the wrong way round is a matter of polarity, told there."""
    supply = "supply: {between: [24V, 0V], voltage: 24 V DC, current: 50 mA}"
    card = f"A1: {{kind: io-card, {supply}, outputs: {{P1: push-pull 5 V}}}}"
    [finding] = fired(SLUG, design(sized(("ENA-", "ENA+"), card, ("A1:P1", "A1:0V"))))
    assert "no two poles of one source" in finding.summary
    assert fired(SLUG, design(sized(("ENA-", "ENA+")))) == []
