"""Measured values take the place of assumed ones: limits from first physics and IEC 60204-1, A.4 (from memory)."""

from __future__ import annotations

import pytest
from helpers import design, loaded
from marked_plans import fired

from wiring.changes.judging import judged_with_mends
from wiring.reports import render

SLUG = "earth-fault-not-cleared"
#: 20 m of 2.5 mm2 out and back at 70 °C: 7.98 ohm/km (IEC 60228, class 5) x 304.5/254.5, and 8 milliohm of breaker.
MACHINE_OHM = 2 * 20.0 * 7.98e-3 * 304.5 / 254.5 + 0.008
#: A breaker B 16 A surely opens at once at five times its rating (IEC 60898-1, table 7).
NEEDED_A = 80.0


def heater(measured: str, earthing: str = "TN-S", fault: str = "", rcd: str = "") -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: {earthing}, {fault}{rcd}
        upstream: {{kind: breaker, rating: 63 A, curve: C}}}}
measured: {measured}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: breaker, rating: 16 A, curve: B, breaking: 6 kA, resistance: 8 mohm}}
  E1: {{kind: heater, rated: 230 V AC 1000 W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 50 mm2, length: 1 mm}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 2.5 mm2, insulation: pvc-70, length: 20 m}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 2.5 mm2, insulation: pvc-70, length: 20 m}}
  - {{wire: 4, from: X0:PE, to: E1:PE, size: 2.5 mm2, insulation: pvc-70, colour: GNYE, length: 20 m}}
"""


# The loop of the building warm is one and a half times that measured cold: 1.5 x + MACHINE_OHM = 230 V / 80 A.
@pytest.mark.parametrize(("share", "is_told"), [(0.98, False), (1.02, True)])
def test_the_measured_loop_decides_whether_the_breaker_opens(share: float, is_told: bool) -> None:
    most = (230.0 / NEEDED_A - MACHINE_OHM) / 1.5
    plan = heater(f"{{loop: {share * most:.4f} ohm}}", fault="fault_current: 6 kA, ")
    assert bool(fired(SLUG, design(plan))) is is_told


def test_a_measured_loop_is_enough_to_judge_by() -> None:
    found = design(heater("{loop: 0.4 ohm}"))
    at_heater = next(one for one in found.faults.disconnections.values() if one.part == "E1")
    assert at_heater.in_time
    assert at_heater.short.lowest.initial_a == pytest.approx(230.0 / (1.5 * 0.4 + MACHINE_OHM), rel=0.01)


def cabinet(watts: float, measured: str) -> str:
    return f"""
site: {{ambient: 30 °C, altitude: 0 m}}
measured: {measured}
parts:
  R1: {{kind: device, heat: {watts} W, points: {{a: plus, b: minus}}}}
wires: []
"""


# Newton's law of cooling: 17 K at 85 W are 34 K at 170 W, and never fewer than the 17 K that were measured.
@pytest.mark.parametrize(("watts", "inside_c"), [(170.0, 64.0), (85.0, 47.0), (20.0, 47.0)])
def test_the_measured_rise_grows_with_the_heat(watts: float, inside_c: float) -> None:
    plan = cabinet(watts, "{inside: {temperature: 41 °C, ambient: 24 °C, heat: 85 W}}")
    assert design(plan).inside.inside_c == pytest.approx(inside_c)
    assert bool(fired("cabinet-too-hot", design(plan))) is (inside_c > 55.0)  # common practice: electronics bear 55 °C


def mill(measured: str) -> str:
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: 400 V, frequency: 50 Hz, earthing: TN-S, fault_current: 6 kA}}
states: {{milling: {{M1: {{power: 1.1 kW}}}}, idle: {{M1: "off"}}}}
{measured}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE]}}
  M1: {{kind: motor, voltage: 400 V AC, rated_power: 1.5 kW, efficiency: 80 %, power_factor: 0.8}}
wires:
  - {{wire: 1, from: X0:L1, to: M1:U, size: 1.5 mm2, length: 1 m}}
  - {{wire: 2, from: X0:L2, to: M1:V, size: 1.5 mm2, length: 1 m}}
  - {{wire: 3, from: X0:L3, to: M1:W, size: 1.5 mm2, length: 1 m}}
  - {{wire: 4, from: X0:PE, to: M1:PE, size: 1.5 mm2, colour: GNYE, length: 1 m}}
"""


def test_the_measured_current_flows_and_is_held_against_the_rating() -> None:
    """1.1 kW / (0.8 x 0.8 x 400 V x 1.732) = 2.48 A; 3 A are 1.33 kW at the shaft, 4 A 1.77 kW, over 1.5 kW."""
    assert design(mill("")).conductors["1"].current_a == pytest.approx(2.48, rel=0.01)
    assert design(mill("measured: {motors: {M1: {milling: 3 A}}}")).conductors["1"].current_a == pytest.approx(
        3.0, rel=0.01
    )
    assert not fired("motor-work-above-rating", design(mill("measured: {motors: {M1: {milling: 3 A}}}")))
    assert fired("motor-work-above-rating", design(mill("measured: {motors: {M1: {milling: 4 A}}}")))


def test_what_a_measured_value_changes_is_told() -> None:
    found = design(heater("{loop: 3 ohm}", fault="fault_current: 6 kA, "))
    told = judged_with_mends(found).figures["measured"]
    assert told["brings"] == [f"WARNING {SLUG} E1, F1"]
    assert told["takes"] == []
    words = " ".join(render(judged_with_mends(found), {}, "text").split())
    assert f"They bring: WARNING {SLUG} E1, F1." in words


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        ("{motors: {M2: {milling: 3 A}}}", "there is no part 'M2'"),
        ("{motors: {X0: {milling: 3 A}}}", "X0 is no motor whose current follows from its work"),
        ("{motors: {M1: {drilling: 3 A}}}", "there is no state 'drilling'"),
        ("{motors: {M1: {idle: 3 A}}}", "M1 does not run in state idle"),
        ("{inside: {temperature: 20 °C, ambient: 24 °C, heat: 85 W}}", "no warmer inside"),
    ],
)
def test_what_cannot_have_been_measured_is_refused(measured: str, words: str) -> None:
    assert words in " ".join(str(fault) for fault in loaded(mill(f"measured: {measured}")).faults)
