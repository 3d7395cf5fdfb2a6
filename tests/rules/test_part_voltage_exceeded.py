"""Ratings against the voltage there: 110 % for loads and coils (common practice), the marking for anything else."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "part-voltage-exceeded"


def lamp(volts: float, rail: float = 24.0) -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {rail} V DC, rated: 5 A}}
  H1: {{kind: lamp, rated: {volts} V DC 1 W}}   #! part-voltage-exceeded
wires:
  - {{wire: 1, from: 'G1:V+', to: H1:X1}}
  - {{wire: 2, from: 'G1:V-', to: H1:X2}}
"""


def test_a_lamp_on_the_bus() -> None:
    assert_marked(lamp(24.0, 48.0))


@pytest.mark.parametrize(("rail", "fires"), [(26.3, False), (26.5, True)])
def test_the_tolerance_is_a_tenth(rail: float, fires: bool) -> None:
    """110 % of 24 V are 26.4 V (common practice; the lamp drops next to nothing in its conductors)."""
    assert bool(fired(SLUG, design(lamp(24.0, rail)))) is fires


@given(st.floats(5.0, 60.0), st.floats(5.0, 60.0))
def test_it_fires_when_the_rail_is_above_110_percent(volts: float, rail: float) -> None:
    volts, rail = round(volts, 1), round(rail, 1)
    if abs(rail / volts - 1.1) > 0.01:
        assert bool(fired(SLUG, design(lamp(volts, rail)))) is (rail > 1.1 * volts)


def test_a_coil_on_the_wrong_rail() -> None:
    assert_marked(
        plan(
            "K1: {kind: relay, coil: 12 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}   #! part-voltage-exceeded",
            "- {wire: 1, from: X1:2, to: K1:A1}\n- {wire: 2, from: X2:2, to: K1:A2}",
        )
    )


def test_a_coil_for_alternating_current_on_direct() -> None:
    body = plan(
        "K1: {kind: relay, coil: 24 V AC 1 W, contacts: {13-14: NO}}",
        "- {wire: 1, from: X1:2, to: K1:A1}\n- {wire: 2, from: X2:2, to: K1:A2}",
    )
    assert len(fired(SLUG, design(body))) == 1


@pytest.mark.parametrize(
    ("system", "volts", "poles", "fires"),
    [("single-phase", 230, "L, N", False), ("three-phase", 400, "L1, N", False), ("three-phase", 400, "L1, L2", True)],
)
def test_terminals_and_breakers_by_the_lines_that_reach_them(system: str, volts: int, poles: str, fires: bool) -> None:
    """Between lines the mains have their full voltage; 230 V against 400/1.732 V is IEC 60038's rounding."""
    first, second = poles.split(", ")
    body = f"""
mains: {{inlet: X0, system: {system}, voltage: {volts} V}}
parts:
  X0: {{kind: inlet, poles: [L, L1, L2, N, PE]}}
  F1: {{kind: breaker, poles: 2, rating: 6 A, rated_voltage: 230 V AC}}
wires:
  - {{wire: 1, from: X0:{first}, to: F1:1}}
  - {{wire: 2, from: X0:{second}, to: F1:3}}
"""
    found = fired(SLUG, design(body))
    assert bool(found) is fires
    assert all(finding.signal is Signal.WARNING for finding in found)


def test_a_sensor_and_a_card_by_their_supply() -> None:
    for part, plus, minus in (
        ("B1: {kind: sensor, supply: 10..30 V DC, output: pnp NC}", "1", "3"),
        ("A1: {kind: io-card, supply: {between: [5V, 0V], voltage: 5 V DC, current: 50 mA}}", "5V", "0V"),
    ):
        name = part.split(":")[0]
        rail = 48 if name == "B1" else 24
        body = f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {rail} V DC, rated: 5 A}}
  {part}
wires:
  - {{wire: 1, from: 'G1:V+', to: '{name}:{plus}'}}
  - {{wire: 2, from: 'G1:V-', to: '{name}:{minus}'}}
"""
        assert [finding.subjects for finding in fired(SLUG, design(body))] == [(name,)]


def test_what_it_says() -> None:
    """Common practice: 110 % of 24 V; the rail has 26.5 V."""
    [finding] = fired(SLUG, design(lamp(24.0, 26.5)))
    assert_says(
        finding,
        "CAUTION",
        limit=(1.1 * 24, "V", "Trade practice tolerance of loads and coils"),
        number=("rated", 24.0, "V"),
        mend="for 26.5 V DC",
    )


@pytest.mark.parametrize(("rail", "fires"), [(26.3, False), (26.5, True)])
def test_the_logic_of_a_drive_has_a_voltage_of_its_own(rail: float, fires: bool) -> None:
    """110 % of 24 V are 26.4 V, as above; its bus is fed with the 48 V that it bears."""
    body = f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 48 V DC, rated: 5 A}}
  G2: {{kind: supply, input: 230 V AC, output: {rail} V DC, rated: 2 A}}
  D1: {{kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak,
       logic: {{between: [24V, 0V], voltage: 24 V DC}}}}
wires:
  - {{wire: 1, from: 'G1:V+', to: 'D1:V+'}}
  - {{wire: 2, from: 'G1:V-', to: 'D1:V-'}}
  - {{wire: 3, from: 'G2:V+', to: D1:24V}}
  - {{wire: 4, from: 'G2:V-', to: D1:0V}}
"""
    assert [one.subjects for one in fired(SLUG, design(body))] == ([("D1",)] if fires else [])


@pytest.mark.parametrize(("far", "fires"), [("N", False), ("L2", True)])
def test_an_open_contact_bears_what_its_load_hangs_on(far: str, fires: bool) -> None:
    """The load carries no current while the contact is open, so its far end stands at the contact: 400 V, not 230 V."""
    body = f"""mains: {{inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  F1: {{kind: thermal-cut-out, contacts: {{11-12: NC}}, rated_voltage: 250 V AC, protects: E1, reset: manual}}
  E1: {{kind: heater, rated: {"230" if far == "N" else "400"} V AC 500 W, metal: false}}
wires:
  - {{wire: 1, from: 'X0:L1', to: 'F1:11'}}
  - {{wire: 2, from: 'F1:12', to: 'E1:1'}}
  - {{wire: 3, from: 'E1:2', to: 'X0:{far}'}}
"""
    assert [one.subjects for one in fired(SLUG, design(body))] == ([("F1",)] if fires else [])
