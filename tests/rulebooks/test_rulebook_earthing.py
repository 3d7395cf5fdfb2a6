"""Protective conductors, disconnection, discharge and extra-low voltage against the standards' own figures."""

from math import exp, inf, log10, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiring.quantities import parse_wire_size
from wiring.rulebooks import earthing
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.book import IEC, NA
from wiring.rulebooks.citation import Limit, Standing
from wiring.rulebooks.limits import discharge_time_s, words
from wiring.rulebooks.tables import load


def size(text):
    return parse_wire_size(text)


@pytest.mark.parametrize(
    ("line", "place", "protective_mm2"),
    [
        # IEC 60204-1 table 1: S to 16, then 16 to 35, then S/2
        ("1.5 mm2", {"in_cable": True, "location": "machine"}, 1.5),
        ("16 mm2", {"in_cable": True, "location": "machine"}, 16),
        ("25 mm2", {"in_cable": True, "location": "machine"}, 16),
        ("35 mm2", {"in_cable": True, "location": "machine"}, 16),
        ("70 mm2", {"in_cable": True, "location": "machine"}, 35),
        ("0.75 mm2", {"in_cable": False, "location": "enclosure"}, 0.75),
        # IEC 60364-5-54 543.1.3: separate ones 2.5 mm2, unprotected 4 mm2
        ("1.5 mm2", {"in_cable": False, "location": "machine"}, 2.5),
        ("1.5 mm2", {"in_cable": False, "location": "machine", "protected": False}, 4),
        ("6 mm2", {"in_cable": False, "location": "machine", "protected": False}, 6),
    ],
)
def test_protective_conductor_by_the_line(line, place, protective_mm2):
    assert IEC.protective_conductor(size(line), None, **place).value == protective_mm2


@pytest.mark.parametrize(
    ("device_a", "line", "in_cable", "location", "gauge"),
    [
        # NFPA 70 table 250.122: 15 A 14 AWG, 20 A 12 AWG, 60 A 10 AWG, 100 A 8 AWG
        (15, "14 AWG", False, "feed", "14 AWG"),
        (25, "10 AWG", False, "feed", "10 AWG"),
        (100, "3 AWG", False, "feed", "8 AWG"),
        (2000, "500 kcmil", False, "feed", "250 kcmil"),
        # NFPA 79 table 8.2.2.3, to 40 A from memory: 10 A 16 AWG, a core of a cable 18 AWG
        (10, "14 AWG", False, "machine", "16 AWG"),
        (10, "14 AWG", True, "machine", "18 AWG"),
        (60, "6 AWG", True, "machine", "10 AWG"),
        # never larger than the circuit conductors
        (30, "14 AWG", False, "machine", "14 AWG"),
    ],
)
def test_protective_conductor_by_the_device(device_a, line, in_cable, location, gauge):
    answer = NA.protective_conductor(size(line), device_a, in_cable=in_cable, location=location)
    assert answer.value == pytest.approx(size(gauge).area_mm2)
    assert gauge in answer.note


def test_a_protective_conductor_that_cannot_be_judged():
    answer = NA.protective_conductor(size("14 AWG"), None, in_cable=False, location="machine")
    assert isinstance(answer, NotTabled)
    assert "missing" in answer.reason
    above = NA.protective_conductor(size("14 AWG"), 1e5, in_cable=False, location="machine")
    assert isinstance(above, NotTabled)


@given(st.floats(1, 1600), st.floats(1, 1600))
def test_a_larger_device_never_needs_a_smaller_conductor(one_a, other_a):
    small, large = sorted((one_a, other_a))
    for location in ("machine", "feed"):
        found = [
            NA.protective_conductor(size("800 kcmil"), amps, in_cable=False, location=location)
            for amps in (small, large)
        ]
        assert found[0].value <= found[1].value


def test_enlarging_never_goes_below_the_table():
    assert earthing.enlarged_protective_mm2(size("10 AWG"), size("6 AWG"), size("8 AWG")) == size("10 AWG").area_mm2


def test_every_tabled_k_follows_from_its_temperatures():
    """IEC 60364-5-54 annex A: 226 sqrt(ln(1 + (Tf - Ti)/(234.5 + Ti))), printed to a whole number."""
    for row in load("iec", "adiabatic_k").rows:
        computed = earthing.adiabatic_k(row.number("initial_c"), row.number("final_c"))
        assert row.number("k_a_sqrt_s_per_mm2") == pytest.approx(computed, abs=1.0)


@pytest.mark.parametrize(
    ("insulation", "insulation_c", "area_mm2", "k"),
    [
        # IEC 60364-5-54 table A.54.4: PVC 70 °C 115, over 300 mm2 103, XLPE 143, rubber 60 °C 141, silicone 132
        ("pvc-70", 70, 2.5, 115),
        ("pvc-70", 70, 400, 103),
        ("xlpe-90", 90, 2.5, 143),
        ("rubber-60", 60, 2.5, 141),
        ("silicone-180", 180, 2.5, 132),
    ],
)
def test_k_factor(insulation, insulation_c, area_mm2, k):
    assert IEC.k_factor(insulation, insulation_c, area_mm2).value == k


def test_k_of_north_american_insulation():
    """ICEA P-32-382: (I/A)^2 t = 0.0297 log10((T2 + 234)/(T1 + 234)), A in circular mils; from memory."""
    for insulation, hot_c, final_c in (("THWN", 75, 150), ("XHHW-2", 90, 250)):
        k = sqrt(0.0297 * log10((final_c + 234) / (hot_c + 234))) / (pi / 4 * 0.0254**2)
        assert NA.k_factor(insulation, hot_c).value == pytest.approx(k, rel=0.01)


def test_k_of_an_unknown_insulation_is_not_judged():
    assert isinstance(IEC.k_factor("ptfe-200", 200), NotTabled)


def test_hotter_insulation_leaves_less_room_for_a_fault():
    assert IEC.k_factor("pvc-70", 70).value > IEC.k_factor("pvc-90", 90).value > IEC.k_factor("pvc-105", 105).value
    with pytest.raises(ValueError, match="above the initial"):
        earthing.adiabatic_k(160, 160)


@pytest.mark.parametrize(
    ("system", "kind", "u0_v", "final_a", "time_s"),
    [
        # IEC 60364-4-41 table 41.1
        ("TN-S", "ac", 120, None, 0.8),
        ("TN-C-S", "ac", 230, 16, 0.4),
        ("TN", "ac", 277, None, 0.2),
        ("TT", "ac", 230, None, 0.2),
        ("TT", "dc", 230, None, 0.4),
        # amendment 1 of 2017 against older pages with 5 s: the shorter
        ("TN", "dc", 230, None, 1),
        # 411.3.2: fixed equipment above 32 A
        ("TN-S", "ac", 230, 40, 5),
        ("TT", "ac", 230, 40, 1),
        # the nominal voltages of IEC 60038 decide, not line voltage by the root of three: 400, 208, 690 and 480 V
        ("TN-S", "ac", 400 / 3**0.5, 16, 0.4),
        ("TT", "ac", 400 / 3**0.5, 16, 0.2),
        ("TN-S", "ac", 208 / 3**0.5, 16, 0.8),
        ("TT", "ac", 208 / 3**0.5, 16, 0.3),
        ("TN-S", "ac", 690 / 3**0.5, 16, 0.2),
        ("TN-S", "ac", 480 / 3**0.5, 16, 0.2),
        ("TN-S", "ac", 415 / 3**0.5, 16, 0.2),
    ],
)
def test_disconnection_time(system, kind, u0_v, final_a, time_s):
    assert IEC.disconnection_time(system, kind, u0_v, final_a).value == time_s


def test_no_time_is_tabled_for_extra_low_voltage_or_it():
    assert isinstance(IEC.disconnection_time("TN-S", "ac", 50), NotTabled)
    assert isinstance(IEC.disconnection_time("IT", "ac", 230), NotTabled)


def test_discharge():
    """IEC 60204-1 6.2.4: 60 V after 5 s, plugs 1 s, 60 microcoulomb are exempt."""
    inside, plug = IEC.discharge_limit("enclosure"), IEC.discharge_limit("plug")
    assert (inside.voltage.value, inside.time.value, plug.time.value) == (60, 5, 1)
    assert inside.exempt_charge_c == pytest.approx(60e-6)
    assert NA.discharge_limit("enclosure").exempt_charge_c == 0
    assert isinstance(IEC.discharge_limit("elsewhere"), NotTabled)


@given(st.floats(1, 1e6), st.floats(1e-6, 0.1), st.floats(61, 800))
def test_discharge_time_is_the_exponential(ohm, farad, volts):
    time_s = discharge_time_s(ohm, farad, volts, 60)
    assert volts * exp(-time_s / (ohm * farad)) == pytest.approx(60)
    assert discharge_time_s(ohm, farad, 50, 60) == 0
    assert discharge_time_s(ohm, farad, 50, 0) == inf


@pytest.mark.parametrize(
    ("kind", "dry", "iec_v", "na_v"),
    [
        # IEC 61140 50 V and 120 V; IEC 60204-1 6.4.1 and NFPA 79 6.4: 25/60 V dry, 6/15 V elsewhere
        ("AC", None, 50, 50),
        ("DC", None, 120, 60),
        ("AC", True, 25, 25),
        ("DC", True, 60, 60),
        ("AC", False, 6, 6),
        ("DC", False, 15, 15),
    ],
)
def test_extra_low_voltage(kind, dry, iec_v, na_v):
    assert IEC.extra_low_voltage(kind, dry=dry).value == iec_v
    assert NA.extra_low_voltage(kind, dry=dry).value == na_v


def test_single_limits():
    found = IEC.limit("ambient_max")
    assert isinstance(found, Limit)
    assert (found.value, found.unit, found.source.standing) == (40, "°C", Standing.ONE_SOURCE)
    assert isinstance(NA.limit("ambient_max"), NotTabled)
    assert words("enclosure_ip_min") == "IP22"
    assert words("nothing of that name") == ""
