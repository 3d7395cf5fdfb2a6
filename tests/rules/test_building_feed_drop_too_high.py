"""Voltage lost between the panel board of the building and the loads of the machine, by hand and as printed."""

from __future__ import annotations

from math import sqrt

import pytest
from helpers import design
from marked_plans import fired, folded_under, open_questions
from published_rows import worked
from says import assert_says

from wiring.findings import Finding

SLUG = "building-feed-drop-too-high"
COPPER_ZERO_C = 234.5
#: IEC 60228 class 2, ohm/km at 20 °C.
OHM_PER_KM = {"1.5 mm2": 12.1, "2.5 mm2": 7.41, "4 mm2": 4.61}
REACTANCE = 0.08


def single(feed: str, load: str, inner_m: float = 0.01, book: str = "iec", volts: int = 230) -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: {volts} V, fault_current: 50 kA,
        upstream: {{kind: breaker, rating: 32 A, curve: C}}, feed: {{{feed}, ambient: 30 °C}}}}
parts:
  X0: {{kind: inlet}}
  E1: {load}
wires:
  - {{wire: 1, from: X0:L, to: E1:1, size: 6 mm2, length: {inner_m} m}}
  - {{wire: 2, from: "X0:N", to: E1:2, size: 6 mm2, length: {inner_m} m}}
"""


def figure(finding: Finding, name: str) -> float:
    return next(number.value for number in finding.numbers if number.name == name)


def hot(size: str) -> complex:
    """Impedance of a conductor at 70 °C [ohm/m]."""
    return complex(OHM_PER_KM[size] * (COPPER_ZERO_C + 70) / (COPPER_ZERO_C + 20), REACTANCE) / 1000


# A heater of 3 kW takes 13.04 A: over 2.5 mm2 the limit of 11.5 V is reached at 11.5 V / (2 x 13.04 A x 8.87 mohm/m),
# 49.7 m. Over 69 m it is 16 V, and 4 mm2 lose 2 x 13.04 A x 5.52 mohm/m x 69 m = 9.9 V.
@pytest.mark.parametrize(("length", "fires"), [(49.0, False), (51.0, True), (69.0, True)])
def test_the_limit_itself(length: float, fires: bool) -> None:
    load = "{kind: heater, rated: 230 V AC 3000 W, metal: false}"
    feed = f"size: 2.5 mm2, length: {length} m, insulation: pvc-70, method: C"
    found = fired(SLUG, design(single(feed, load)))
    assert bool(found) is fires
    for finding in found:
        drop = abs(2 * 3000 / 230 * hot("2.5 mm2") * length)
        assert figure(finding, "drop") == pytest.approx(drop, rel=2e-3)
        assert "4 mm2" in finding.mend[0]


def test_machine_and_feed_count_together() -> None:
    """Over 40 m of 2.5 mm2 9.3 V are lost, over 33 m of 6 mm2 in the machine 2.8 V: more than 11.5 V together only."""
    load = "{kind: heater, rated: 230 V AC 3000 W, metal: false}"
    feed = "size: 2.5 mm2, length: 40 m, insulation: pvc-70, method: C"
    assert fired(SLUG, design(single(feed, load))) == []
    [finding] = fired(SLUG, design(single(feed, load, inner_m=33)))
    assert figure(finding, "in") == pytest.approx(abs(2 * 3000 / 230 * hot("2.5 mm2") * 40), rel=0.02)
    assert fired("voltage-drop-too-high", design(single(feed, load, inner_m=33))) == []


def test_a_machine_that_loses_too_much_itself_explains_it() -> None:
    load = "{kind: heater, rated: 230 V AC 3000 W, metal: false}"
    feed = "size: 4 mm2, length: 1 m, insulation: pvc-70, method: C"
    assert folded_under(SLUG, design(single(feed, load, inner_m=160))) == {"voltage-drop-too-high"}


def three_phase(feed: str, amps: float, power_factor: float, watts: float) -> str:
    lines = "".join(
        f"  - {{wire: {n}, from: X0:L{n}, to: M1:{end}, size: 10 mm2, length: 1 cm}}\n"
        for n, end in ((1, "U"), (2, "V"), (3, "W"))
    )
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: 400 V, fault_current: 50 kA,
        upstream: {{kind: breaker, rating: 32 A, curve: C}}, feed: {{{feed}, ambient: 30 °C}}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE]}}
  M1: {{kind: motor, voltage: 400 V AC, phases: 3, rated_power: {watts} W, rated_current: {amps} A,
        power_factor: {power_factor}, metal: false}}
wires:
{lines}
"""


def test_three_phases_follow_the_formula_of_annex_g() -> None:
    """IEC 60364-5-52 annex G: sqrt(3) I (R cos + X sin) l between the lines."""
    watts, power_factor, length = 7500.0, 0.85, 200.0
    plan = three_phase(f"size: 4 mm2, length: {length} m, insulation: pvc-70, method: C", 15.0, power_factor, watts)
    [finding] = fired(SLUG, design(plan))
    sine = sqrt(1 - power_factor**2)
    per_m = hot("4 mm2")
    drop = sqrt(3) * 15.0 * (per_m.real * power_factor + per_m.imag * sine) * length
    assert figure(finding, "drop") == pytest.approx(drop, rel=0.02)


def test_a_printed_example_of_a_long_run_at_120_volts() -> None:
    """A09: 20 A at 120 V over 100 ft one way lose 4.97 V in 10 AWG and 3.1 V in 8 AWG (12.9 ohm circular mil a foot).

    The feed of THW counts at 75 °C by table 8 of NFPA 70 chapter 9, whose 1.24 and 0.778 ohm/kft give 4.96 and 3.11 V.
    """
    example = worked("resistance_voltage_drop")["A09"]
    i, printed = example.inputs, example.expected
    volts, amps, feet = i["supply_V"], i["current_A"], i["length_oneway_ft"]
    load = f"{{kind: heater, rated: {volts} V AC {volts * amps} W, metal: false}}"
    for gauge in ("10", "8"):
        plan = single(f"size: {gauge} AWG, length: {feet} ft, insulation: THW", load, book="na", volts=volts)
        found = design(plan, "na")
        drop = found.power.drops_from_board["E1"]
        assert drop.drop_v == pytest.approx(printed[f"drop{gauge}_V"], rel=0.005)
        assert bool(fired(SLUG, found)) is (drop.percent > 5.0)


def test_what_is_missing_is_asked() -> None:
    load = "{kind: heater, rated: 230 V AC 3000 W, metal: false}"
    [question] = open_questions(SLUG, design(single("size: 2.5 mm2, method: C", load)))
    assert "length" in question.missing


def test_what_it_says() -> None:
    """IEC 60364-5-52 table G.52.1: 5 % for what is no lighting; 4 mm2 is the next size of IEC 60228."""
    load = "{kind: heater, rated: 230 V AC 3000 W, metal: false}"
    [finding] = fired(SLUG, design(single("size: 2.5 mm2, length: 51 m, insulation: pvc-70, method: C", load)))
    assert_says(
        finding,
        "CAUTION",
        limit=(5.0, "%", "IEC 60364-5-52 table G.52.1"),
        number=("drop", abs(2 * 3000 / 230 * hot("2.5 mm2") * 51), "V"),
        mend="4 mm2",
        rel=2e-3,
    )
