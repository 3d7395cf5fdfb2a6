"""No working current in the protective earth (IEC 60204-1, 8.2.1); counted above the 10 mA of 8.2.6."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "earth-carries-current"


def lamp(milliamps: float) -> str:
    return plan(
        f"H1: {{kind: lamp, rated: 24 V DC {milliamps} mA}}",
        "- {wire: 1, from: X1:2, to: H1:X1}\n- {wire: 2, from: H1:X2, to: XPE:5}   #! earth-carries-current",
    )


def test_a_lamp_that_returns_through_the_earth() -> None:
    assert_marked(lamp(200.0))


@pytest.mark.parametrize(("milliamps", "fires"), [(9.8, False), (10.3, True)])
def test_the_limit_is_ten_milliamperes(milliamps: float, fires: bool) -> None:
    """IEC 60204-1:2016, 8.2.6: 10 mA; the lamp is a resistance, so its rated current flows at 24 V."""
    assert bool(fired(SLUG, design(lamp(milliamps)))) is fires


@pytest.mark.parametrize("milliamps", [20.0, 137.3, 400.0])
def test_the_current_is_that_of_the_lamp(milliamps: float) -> None:
    [finding] = fired(SLUG, design(lamp(milliamps)))
    assert finding.numbers[0].value == pytest.approx(milliamps / 1000, rel=0.01)


def test_the_return_of_a_mains_load_is_a_danger() -> None:
    body = plan(
        "E1: {kind: heater, rated: 230 V AC 230 W, metal: false}",
        "- {wire: 1, from: X0:L, to: E1:1}\n- {wire: 2, from: E1:2, to: XPE:5}",
    )
    [finding] = fired(SLUG, design(body))
    assert finding.signal is Signal.DANGER
    assert finding.numbers[0].value == pytest.approx(1.0, rel=0.02)  # 230 W at 230 V


@pytest.mark.parametrize(("bond", "told"), [(True, True), (False, False)])
def test_a_mains_load_on_the_0_v_of_a_supply_returns_through_its_bond(bond: bool, told: bool) -> None:
    """230 W at 230 V are 1 A, which reach the neutral of a TN system by the bond of the 0 V alone; without it none
    flows."""
    body = plan(
        "E1: {kind: heater, rated: 230 V AC 230 W, metal: false}",
        "- {wire: 1, from: X0:L, to: E1:1}\n- {wire: 2, from: E1:2, to: X2:5}",
    )
    found = fired(SLUG, design(body if bond else body.replace("- {wire: b6, from: X2:12, to: XPE:2}", "")))
    assert [(one.signal, one.subjects) for one in found] == [(Signal.DANGER, ("E1", "2"))] * told
    assert not told or found[0].numbers[0].value == pytest.approx(1.0, rel=0.02)
    assert bool(fired("circuit-never-closed", design(body))) is False


def test_what_it_says() -> None:
    """IEC 60204-1 8.2.6: 10 mA; the lamp takes 10.3 mA."""
    [finding] = fired(SLUG, design(lamp(10.3)))
    assert_says(
        finding,
        "WARNING",
        limit=(10.0, "mA AC or DC", "IEC 60204-1 8.2.6"),
        number=("current in the earth", 10.3 / 1000, "A"),
        mend="return of G1",
    )


def test_nothing_comes_back_to_a_source_that_is_not_earthed() -> None:
    """By Kirchhoff: the earth is joined to no pole of an IT system, so no current flows until a fault joins it."""
    body = plan(
        "E1: {kind: heater, rated: 230 V AC 230 W, metal: false}",
        "- {wire: 1, from: X0:L, to: E1:1}\n- {wire: 2, from: E1:2, to: XPE:5}",
    )
    [finding] = fired(SLUG, design(body.replace("voltage: 230 V}", "voltage: 230 V, earthing: IT}")))
    assert finding.subjects == ("2", "XPE", "E1")
    assert finding.signal is Signal.WARNING
    assert "in place of a return to X0" in finding.summary


def charged(minus: str, switch: str = "") -> str:
    """A lamp on a battery and its charger, whose minus goes where the case says; their rail is bonded once."""
    ends = ["X0:L>G1:L", "X0:N>G1:N", "G1:V+>H1:X1", "GB1:+>H1:X1", "H1:X2>X2:1", f"G1:V->{minus}", "X2:12>XPE:2"]
    ends += ["X0:PE>XPE:1", *(["GB1:->Q1:1", "Q1:2>X2:3"] if switch else ["GB1:->X2:3"])]
    wires = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return (
        "mains: {inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}\nparts:\n  X0: {kind: inlet}\n"
        "  G1: {kind: charger, input: 230 V AC, output: 27.4 V DC, rated: 5 A}\n"
        "  GB1: {kind: battery, voltage: 24 V DC, capacity: 18 Ah, rated: 50 A}\n"
        f"  H1: {{kind: lamp, rated: 24 V DC 48 W}}\n  X2: {{kind: terminals, points: 12, bridged: [1-12]}}\n{switch}"
        f"  XPE: {{kind: earth-bar, points: 12}}\nwires:\n{wires}\n"
    )


@pytest.mark.parametrize("switch", ["", "  Q1: {kind: disconnector, poles: 1, rated: 40 A}\n"])
def test_the_minus_of_a_charger_on_the_earth_bar(switch: str) -> None:
    """Kirchhoff's current law: what leaves by the plus of a charger comes back to its minus, by both bonds."""
    plan = design(charged("XPE:5", switch))
    [finding] = fired(SLUG, plan)
    assert finding.subjects == ("5", "G1", "6")
    out = max(abs(point.path_current("DC")["2"]) for point in plan.states.values())
    assert finding.numbers[0].value == pytest.approx(out, rel=0.01)
    assert out > 1.0
    assert fired(SLUG, design(charged("X2:4", switch))) == []
