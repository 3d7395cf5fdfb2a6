"""Kirchhoff's current law: what one pole alone reaches carries no current, whatever the contacts do."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "circuit-never-closed"
SENSORS = """
B1: {kind: sensor, supply: 10..30 V DC, output: pnp NC}
B2: {kind: sensor, supply: 10..30 V DC, output: pnp NC}
A1: {kind: io-card, inputs: {I1: sink, I2: sink}, input_type: 3, input_voltage: 24 V DC, common: COM}
X5: {kind: terminals, points: 4, bridged: [1-4]}
"""
SENSOR_WIRES = """
- {wire: 1, through: [X1:2, B1:1, B2:1]}
- {wire: 2, from: B1:4, to: A1:I1}
- {wire: 3, from: B2:4, to: A1:I2}
- {wire: 4, from: B1:3, to: X5:1}
- {wire: 5, from: B2:3, to: X5:2}
- {wire: 6, from: A1:COM, to: X2:3}
"""
BACK = "- {wire: 7, from: X5:4, to: X2:4}\n"


def test_sensors_whose_return_ends_in_a_row_of_terminals() -> None:
    assert_marked(plan(SENSORS, SENSOR_WIRES.replace("to: X5:1}", "to: X5:1}   #! circuit-never-closed")))


def test_the_return_led_on_makes_it_right() -> None:
    assert fired(SLUG, design(plan(SENSORS, SENSOR_WIRES + BACK))) == []


def test_what_misses_one_pole_is_told_together() -> None:
    [finding] = fired(SLUG, design(plan(SENSORS, SENSOR_WIRES)))
    assert finding.subjects == ("B1", "B2", "G1")


@pytest.mark.parametrize("switch", ["push-button, contacts: {1-2: NO}", "limit-switch, contacts: {1-2: NC}"])
def test_an_open_contact_is_no_gap(switch: str) -> None:
    body = plan(
        f"S1: {{kind: {switch}}}\nH1: {{kind: lamp, rated: 24 V DC 1 W}}",
        "- {wire: 1, from: X1:2, to: S1:1}\n- {wire: 2, from: S1:2, to: H1:X1}\n- {wire: 3, from: X2:2, to: H1:X2}",
    )
    assert fired(SLUG, design(body)) == []


def test_a_load_between_two_rails_of_different_supplies() -> None:
    body = plan(
        "G2: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A, class: II, wires_per_terminal: 2}\n"
        "H1: {kind: lamp, rated: 24 V DC 1 W}",
        "- {wire: 1, from: X1:2, to: H1:X1}\n- {wire: 2, from: 'G2:V-', to: H1:X2}",
    )
    assert [finding.subjects[0] for finding in fired(SLUG, design(body))] == ["H1"]


def test_coils_in_series_close_through_each_other() -> None:
    """12 V coils in series on 24 V: each one's far end reaches the return through the other."""
    coil = "{kind: relay, coil: 12 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}"
    body = plan(
        f"K1: {coil}\nK2: {coil}",
        "- {wire: 1, from: X1:2, to: K1:A1}\n- {wire: 2, from: K1:A2, to: K2:A1}\n- {wire: 3, from: K2:A2, to: X2:2}",
    )
    assert fired(SLUG, design(body)) == []


def test_a_return_through_the_earth_is_told_by_its_own_rule() -> None:
    """The 0 V of the small machine is bonded, so the current finds its way back."""
    body = plan(
        "H1: {kind: lamp, rated: 24 V DC 1 W}\nBED: {kind: metalwork, points: 2}",
        "- {wire: 1, from: X1:2, to: H1:X1}\n- {wire: 2, from: H1:X2, to: BED:1}\n- {wire: P, from: XPE:5, to: BED:2}",
    )
    assert fired(SLUG, design(body)) == []


def test_an_input_behind_a_driver_that_the_plan_does_not_show_is_passed_over() -> None:
    body = plan(
        "B1: {kind: encoder, supply: {between: [5V, 0V], voltage: 5 V DC, current: 50 mA}, signals: [Z]}\n"
        "A1: {kind: io-card, inputs: {I1: sink}, input_type: 3, input_voltage: 24 V DC, common: COM}",
        "- {wire: 1, from: B1:Z, to: A1:I1}\n- {wire: 2, from: A1:COM, to: X2:2}",
    )
    assert fired(SLUG, design(body)) == []


def test_one_line_of_three_missing() -> None:
    body = """
mains: {inlet: X0, system: three-phase, voltage: 400 V}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  F1: {kind: breaker, poles: 3, rating: 16 A, curve: C}
  T1: {kind: inverter, supply: 400 V AC, phases: 3, rated: 2 kW, leakage: 2 mA}
wires:
  - {wire: 1, from: X0:L1, to: "F1:1"}
  - {wire: 2, from: X0:L2, to: "F1:3"}
  - {wire: 3, from: "F1:2", to: T1:L1}
  - {wire: 4, from: "F1:4", to: T1:L2}
  - {wire: 5, from: "F1:6", to: T1:L3}
  - {wire: PE1, from: X0:PE, to: T1:PE}
"""
    assert [finding.subjects for finding in fired(SLUG, design(body))] == [("T1", "X0")]


@given(st.lists(st.booleans(), min_size=1, max_size=6), st.booleans())
def test_it_speaks_exactly_when_the_shared_return_is_missing(wired: list[bool], back: bool) -> None:
    """Lamps on one row of terminals, each with its return to the row or straight to the rail."""
    count = len(wired)
    parts = "\n".join(f"H{n}: {{kind: lamp, rated: 24 V DC 1 W}}" for n in range(count))
    row = f"X5: {{kind: terminals, points: {count + 2}, bridged: [1-{count + 2}]}}"
    lines = [f"- {{wire: a{n}, from: X1:2, to: H{n}:X1}}" for n in range(count)]
    lines += [f"- {{wire: r{n}, from: H{n}:X2, to: {f'X5:{n + 1}' if wired[n] else 'X2:3'}}}" for n in range(count)]
    lines += [f"- {{wire: c, from: X5:{count + 1}, to: X2:4}}"] if back else []
    found = fired(SLUG, design(plan(f"{parts}\n{row}", "\n".join(lines))))
    on_the_row = {f"H{n}" for n in range(count) if wired[n]}
    expected = on_the_row if not back and len(on_the_row) > 1 else set()
    assert {name for finding in found for name in finding.subjects[:-1]} == expected


def test_what_it_says() -> None:
    """A current needs a way there and back (Kirchhoff)."""
    [finding] = fired(SLUG, design(plan(SENSORS, SENSOR_WIRES)))
    assert_says(finding, "CAUTION", mend="Lead the return of G1 to B1:3")


@pytest.mark.parametrize(("bonded", "words"), [(True, "by the protective earth alone"), (False, "No current can flow")])
def test_two_returns_that_meet_at_the_earth_close_there(bonded: bool, words: str) -> None:
    """A lamp between the plus of one supply and the 0 V of another: by Kirchhoff its current comes back over both
    bonds, where there are two, and nowhere else."""
    bond = "- {wire: P9, from: G9:V-, to: XPE:6}" if bonded else ""
    body = plan(
        "H1: {kind: lamp, rated: 24 V DC 1 W}\nG9: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}",
        f"- {{wire: 1, from: X1:2, to: H1:X1}}\n- {{wire: 2, from: H1:X2, to: G9:V-}}\n{bond}",
    )
    [finding] = fired(SLUG, design(body))
    assert words in finding.summary
