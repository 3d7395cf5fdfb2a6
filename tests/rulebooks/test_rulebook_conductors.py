"""Resistance, temperature of a loaded conductor, ladders of sizes, drop; pint for units, ngspice for three phases."""

import os
import re
import shutil
import subprocess
from math import hypot, inf, pi, sqrt

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from solved_drop import dc_drop_v, received_line_v

from wiring.quantities import parse_wire_size
from wiring.rulebooks import conductors
from wiring.rulebooks import voltage_drop_formulas as drop
from wiring.rulebooks.answers import NotTabled, weakest
from wiring.rulebooks.book import IEC, NA, rulebook
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.tables import load

UNIT = pint.UnitRegistry()


def size(text):
    return parse_wire_size(text)


@pytest.mark.parametrize(
    ("text", "conductor_class", "temperature_c", "ohm_per_km"),
    [
        ("1.5 mm2", "5", 20, 13.3),  # IEC 60228 class 5
        ("1.5 mm2", "1", 20, 12.1),  # class 1
        ("2.5 mm2", "5", 70, 7.98 * (234.5 + 70) / 254.5),
        ("0.25 mm2", "5", 20, 79),  # of two printed figures the larger
        ("0.2 mm2", "5", 20, 138 * 0.14 / 0.2),  # by area from 0.14 mm2
        ("14 AWG", "5", 75, 3.14 / 0.3048),  # NFPA 70 table 8, stranded, ohm/kft
        ("14 AWG", "1", 75, 3.07 / 0.3048),
        ("14 AWG", "5", 20, 3.14 / 0.3048 * (1 + 0.00323 * (20 - 75))),  # note 2 of table 8
        ("350 kcmil", "5", 75, 0.0367 / 0.3048),
        # 24 AWG by ASTM B258: 0.20473 mm2 of copper at 75 °C and 2 % for strands
        ("24 AWG", "5", 75, 17.241 / 0.204732 * (1 + 0.00393 * 55) * 1.02),
    ],
)
def test_resistance(text, conductor_class, temperature_c, ohm_per_km):
    for book in (IEC, NA):
        answer = book.resistance_ohm_per_m(size(text), conductor_class, temperature_c)
        assert answer.unit == "ohm/m"
        assert answer.value * 1000 == pytest.approx(ohm_per_km, rel=1e-5)


def test_a_conductor_thinner_than_the_table_has_no_resistance():
    answer = IEC.resistance_ohm_per_m(size("0.03 mm2"))
    assert isinstance(answer, NotTabled)
    assert "0.03 mm2" in answer.reason


@pytest.mark.parametrize("conductor_class", ["1", "2", "5", "6"])
@pytest.mark.parametrize("book", [IEC, NA])
def test_a_thicker_conductor_never_resists_more(book, conductor_class):
    found = [book.resistance_ohm_per_m(step, conductor_class, 40) for step in book.standard_sizes()]
    ohms = [answer.value for answer in found if isinstance(answer, Limit)]
    assert len(ohms) >= 15
    assert ohms == sorted(ohms, reverse=True)


def test_resistance_of_iec_60228_is_copper():
    """From 0.25 mm2 1.00 to 1.20 times 17.241/area, the play that IEC 60228 leaves for lay and tinning."""
    for row in load("iec", "resistance_20c").rows:
        area = float(row.text("size_mm2"))
        if area >= 0.25:
            assert 0.995 <= row.number("resistance_ohm_per_km") / (17.241 / area) <= 1.20


@given(st.floats(-40, 150), st.floats(-40, 150), st.floats(1e-4, 100))
def test_resistance_and_temperature_go_there_and_back(one_c, other_c, ohm):
    there = conductors.resistance_at_c(ohm, one_c, other_c)
    assert conductors.resistance_at_c(there, other_c, one_c) == pytest.approx(ohm)
    assert (there > ohm) == (other_c > one_c) or there == pytest.approx(ohm)


def test_a_conductor_is_never_colder_than_the_line_reaches():
    with pytest.raises(ValueError, match="never"):
        conductors.resistance_at_c(1, -235, 20)
    with pytest.raises(ValueError, match="above 0"):
        conductors.solid_resistance_ohm_per_m(0)


@given(st.floats(0, 100), st.floats(1, 100), st.floats(-10, 60))
def test_temperature_of_a_loaded_conductor(current_a, ampacity_a, ambient_c):
    """At its ampacity it reaches its rated temperature, without load the ambient, and it only rises with load."""
    at = [conductors.loaded_temperature_c(load_a, ampacity_a, ambient_c, 70) for load_a in (0, current_a, ampacity_a)]
    assert at[0] == ambient_c
    assert at[2] == pytest.approx(70)
    assert at[0] <= at[1]
    assert (at[1] <= at[2] + 1e-9) == (current_a <= ampacity_a)


def test_half_the_current_is_a_quarter_of_the_rise():
    """30 °C + (70 - 30) K x (5/10)^2 = 40 °C."""
    assert conductors.loaded_temperature_c(5, 10, 30, 70) == pytest.approx(40)


def test_no_ampacity_no_temperature():
    with pytest.raises(ValueError, match="above 0"):
        conductors.loaded_temperature_c(1, 0, 30, 70)


@pytest.mark.parametrize("book", [IEC, NA])
def test_ladder_of_sizes(book):
    areas = [step.area_mm2 for step in book.standard_sizes()]
    assert areas == sorted(set(areas))


def test_units_against_pint():
    mil = UNIT.Quantity(1, "circular_mil").to("mm**2").magnitude
    assert pytest.approx(mil, rel=1e-9) == conductors.MM2_PER_CIRCULAR_MIL
    assert pytest.approx(UNIT.Quantity(1000, "ft").to("m").magnitude) == conductors.M_PER_KFT
    copper = UNIT.Quantity(conductors.COPPER_OHM_MM2_PER_M, "ohm*mm**2/m").to("ohm*circular_mil/ft").magnitude
    assert copper == pytest.approx(10.371, rel=1e-4)  # 10.371 ohm circular mil per foot, IACS in handbooks
    lost = UNIT.Quantity(5, "A") * UNIT.Quantity(13.3, "ohm/km") * UNIT.Quantity(2 * 6, "m")
    assert dc_drop_v(5, 13.3e-3, 6) == pytest.approx(lost.to("V").magnitude)


def test_book_by_name():
    assert rulebook("iec") is IEC
    assert rulebook("na") is NA
    with pytest.raises(ValueError, match="iec and na"):
        rulebook("jis")


def test_weakest_source():
    read, recalled = Source("A", "1", "2", Standing.CONFIRMED), Source("B", "", "3", Standing.FROM_MEMORY)
    assert weakest(read, recalled) == Source("A", "1", "2", Standing.FROM_MEMORY)
    assert weakest(read, computed=True).standing is Standing.COMPUTED
    assert weakest(recalled, read, computed=True) == recalled


# --- drop


@given(st.floats(0.1, 100), st.floats(1e-4, 1), st.floats(0, 0.5), st.floats(0.05, 1))
def test_solved_drop_against_phasors(current_a, r_ohm, x_ohm, power_factor):
    """The load's own voltage and I Z of one conductor, added as phasors, are what was sent; current lags the load."""
    assume(current_a * hypot(r_ohm, x_ohm) < 40)
    received = received_line_v(400, [(complex(r_ohm, x_ohm), current_a, power_factor)]) / sqrt(3)
    lagging = complex(power_factor, -sqrt(1 - power_factor**2))
    assert abs(received + current_a * lagging * complex(r_ohm, x_ohm)) * sqrt(3) == pytest.approx(400)


@given(st.floats(1, 100), st.floats(0.1, 50), st.floats(0.5, 10))
def test_what_a_wire_loses(length_m, current_a, area_mm2):
    """Ohm's law, go and return."""
    per_m = conductors.solid_resistance_ohm_per_m(area_mm2)
    lost = 2 * length_m * current_a * conductors.COPPER_OHM_MM2_PER_M / area_mm2
    assert dc_drop_v(current_a, per_m, length_m) == pytest.approx(lost)


def test_limits_of_drop():
    """IEC 60204-1 12.5: 5 %; IEC 60364-5-52 G.52.1: lighting 3 %, other 5 %; NFPA 70 210.19 note: 5 % in all."""
    assert IEC.voltage_drop_limit("machine").value == 5
    assert drop.drop_limit_with_feed("iec", 100.0).value == 5
    assert drop.drop_limit_with_feed("iec", 150.0).value == pytest.approx(5.25)  # 0.005 % a metre beyond 100 m
    assert drop.drop_limit_with_feed("iec", 400.0).value == pytest.approx(5.5)  # never more than half a percent
    assert drop.drop_limit_with_feed("na", 400.0).value == 5
    assert NA.voltage_drop_limit("machine").value == 5
    assert "recommendation" in NA.voltage_drop_limit("machine").note
    assert IEC.voltage_drop_limit("logic").source.standing is Standing.COMMON_PRACTICE
    assert isinstance(IEC.voltage_drop_limit("unknown"), NotTabled)


def need_ngspice():
    if shutil.which("ngspice"):
        return
    if os.environ.get("CI") == "true":
        pytest.fail("ngspice is not installed, and CI must not pass without it: apt-get install ngspice")
    pytest.skip("ngspice is not installed: apt-get install ngspice")


THREE_PHASE = """three phases, line R + L, load R + L in star
V1 s1 0 ac {volts!r} 0
V2 s2 0 ac {volts!r} -120
V3 s3 0 ac {volts!r} 120
{branches}
.control
set numdgt=12
ac lin 1 50 50
let sent = mag(v(s1) - v(s2))
let received = mag(v(l1) - v(l2))
print sent received
quit
.endc
.end
"""


def ngspice(text, folder):
    path = folder / "feeder.cir"
    path.write_text(text, encoding="ascii")
    home = {**os.environ, "HOME": str(folder)}  # ngspice ends at once where there is none
    done = subprocess.run(
        ["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=60, check=False, env=home
    )
    found = dict(re.findall(r"^(sent|received) = (\S+)", done.stdout, re.MULTILINE))
    assert len(found) == 2, done.stdout[-2000:] + done.stderr[-2000:]
    return float(found["sent"]), float(found["received"])


@pytest.mark.ngspice
@pytest.mark.parametrize("power_factor", [1.0, 0.85, 0.4])
@pytest.mark.parametrize(("text", "length_m"), [("2.5 mm2", 40), ("10 mm2", 150)])
def test_three_phase_drop_against_ngspice(text, length_m, power_factor, tmp_path):
    """Line-to-line magnitudes of a feeder."""
    need_ngspice()
    r = IEC.resistance_ohm_per_m(size(text), "5", 70).value * length_m
    x = drop.REACTANCE_OHM_PER_M * length_m
    impedance = 400 / sqrt(3) / 15
    load_r, load_x = impedance * power_factor, impedance * sqrt(1 - power_factor**2)
    branches = "\n".join(
        f"R{n} s{n} a{n} {r!r}\nL{n} a{n} l{n} {x / (100 * pi)!r}\n"
        f"RL{n} l{n} m{n} {load_r!r}\nLL{n} m{n} 0 {max(load_x, 1e-9) / (100 * pi)!r}"
        for n in (1, 2, 3)
    )
    sent, received = ngspice(THREE_PHASE.format(volts=400 / sqrt(3), branches=branches), tmp_path)
    current_a = received / sqrt(3) / impedance
    assert sent == pytest.approx(400, rel=1e-9)
    assert received_line_v(sent, [(complex(r, x), current_a, power_factor)]) == pytest.approx(received, rel=1e-6)


def test_discharge_has_no_end_without_a_path():
    from wiring.rulebooks.limits import discharge_time_s

    assert discharge_time_s(inf, 1e-3, 100, 60) == inf
