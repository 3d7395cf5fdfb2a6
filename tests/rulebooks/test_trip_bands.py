"""When breakers, fuses and overload relays open: points of the standards, a second reading of the steps, sweeps.

Figures beside a check are those of the standard named; "from memory" where they were not read anywhere.
"""

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from published_rows import table
from scipy.interpolate import interp1d

from wiring.rulebooks import fuses
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.breakers import (
    DC_MUST_TRIP_FACTOR,
    breaker_breaking_capacity,
    breaker_let_through,
    standard_breaking_capacity,
    supplies_behind_breaker,
    trip_band,
)
from wiring.rulebooks.devices import Device, clears, device_curve, let_through, overload_curve, surely_opens_at
from wiring.rulebooks.fuses import fuse_band, fuse_breaking_capacity, fuse_curve, fuse_let_through
from wiring.rulebooks.limited_source import Outcome, trips_on_limited_source
from wiring.rulebooks.selectivity import Order, fuse_ratio, selective
from wiring.rulebooks.tables import load

# --- circuit-breakers


@pytest.mark.parametrize(
    ("curve", "rating_a", "multiple", "earliest_s", "latest_s"),
    [
        # IEC 60898-1 table 7: 1.13 In holds 1 h, 1.45 In trips within 1 h, 2.55 In trips between 1 and 60 s to 32 A
        ("B", 16, 1.0, inf, inf),
        ("B", 16, 1.13, 3600, inf),
        ("C", 16, 1.45, 1, 3600),
        ("C", 16, 2.55, 1, 60),
        # the same above 63 A with 2 h, and 120 s above 32 A
        ("C", 80, 1.13, 7200, inf),
        ("C", 80, 1.45, 1, 7200),
        ("C", 40, 2.55, 1, 120),
        # magnetic bands B 3 to 5, C 5 to 10, D 10 to 20
        ("B", 10, 3, 0.1, 45),
        ("B", 10, 5, 0, 0.1),
        ("C", 10, 5, 0.1, 15),
        ("C", 10, 10, 0, 0.1),
        ("D", 10, 10, 0.1, 4),
        ("D", 10, 20, 0, 0.1),
        # K: makers' catalogues print 8 to 12 and 10 to 14, so it holds 8 times and opens at 14 at the latest.
        # Z 2 to 3, IEC 60947-2 1.05 and 1.30 In: from memory
        ("K", 10, 1.05, 3600, inf),
        ("K", 10, 1.3, 0.1, 3600),
        ("K", 10, 8, 0.1, 3600),
        ("K", 10, 12, 0, 3600),
        ("K", 10, 14, 0, 0.1),
        ("Z", 10, 3, 0, 0.1),
    ],
)
def test_breaker_gate(curve, rating_a, multiple, earliest_s, latest_s):
    band = trip_band(curve, rating_a, multiple * rating_a, dc=False)
    assert (band.min_s, band.max_s) == (earliest_s, latest_s)


def test_direct_current_needs_half_as_much_again_to_trip_and_no_less_to_hold():
    """Motion models 4.3: C6 must trip at 90 A on DC (60 A on AC) and may trip from 30 A on either."""
    assert trip_band("C", 6, 89.9, dc=True).max_s > 0.1
    assert trip_band("C", 6, 90.0, dc=True).max_s == 0.1
    for dc in (False, True):
        assert trip_band("C", 6, 30.0, dc).min_s == 0.1
        assert trip_band("C", 6, 30.1, dc).min_s == 0.0
    assert "disagree" in trip_band("C", 6, 90.0, dc=True).note


def test_the_published_dc_bands_are_the_ac_bands_times_the_factor():
    """A maker's tripping curves print B 7.5, C 15, D 30 times for DC, 1.5 times the AC figure."""
    for row in load("na", "breaker_magnetic").rows:
        factor = row.number("trip_dc_multiple") / row.number("trip_multiple")
        assert factor == pytest.approx(DC_MUST_TRIP_FACTOR)


def test_ul_calibration():
    """UL 489: 135 % within 1 h to 50 A, 200 % within 2 min to 30 A. UL 1077 promises no thermal trip at all."""
    assert trip_band("C", 20, 27.0, False, "UL 489").max_s == 3600
    assert trip_band("C", 20, 26.9, False, "UL 489").max_s == inf
    assert trip_band("C", 20, 40.0, False, "UL 489").max_s == 120
    assert trip_band("C", 20, 199.0, False, "UL 1077").max_s == inf
    assert trip_band("C", 20, 200.0, False, "UL 1077").max_s == 0.1
    assert trip_band("", 20, 10000.0, False, "UL 489").max_s == 120


def test_a_breaker_of_unknown_curve_is_counted_on_for_nothing_magnetic():
    band = trip_band("", 10, 1000.0, dc=False)
    assert (band.min_s, band.max_s) == (0.0, 60.0)
    assert "not known" in band.note


@pytest.mark.parametrize("arguments", [("X", 10.0), ("C", 0.0), ("C", -1.0), ("C", inf)])
def test_bad_data_of_a_breaker_is_refused(arguments):
    with pytest.raises(ValueError, match=r"known|expected"):
        trip_band(*arguments, 10.0, False)


def test_breaking_capacity_is_the_marking_or_the_least_of_the_standard():
    assert breaker_breaking_capacity(6000.0).value == 6000.0
    assert breaker_breaking_capacity(None).value == 1500.0  # IEC 60898-1 5.3.4, the lowest standard value (from memory)
    assert breaker_breaking_capacity(None, "UL 489").value == 5000.0  # UL 489 tests at 5 kA
    assert breaker_breaking_capacity(None, "UL 1077").value == 200.0  # UL 508A table SB4.1


def test_supplies_behind_one_breaker_need_the_lower_magnetic_multiple():
    """By hand: D16 holds 160 A, four supplies of 40 A; B16 holds 48 A, one."""
    assert supplies_behind_breaker("D", 16, 40.0, 0.5) == 4
    assert supplies_behind_breaker("B", 16, 40.0, 0.5) == 1


# --- fuses


@pytest.mark.parametrize(
    ("rating_a", "current_a", "earliest_s", "latest_s"),
    [
        # IEC 60269-1 table 3, gG 16 A: 33 A holds 10 s, 65 A opens in 5 s, 85 A holds 0.1 s, 150 A opens in 0.1 s;
        # conventional 1.25 In and 1.6 In in 1 h; I2t 300 to 1000 A2s in 10 ms (table 7)
        (16, 16, inf, inf),
        (16, 20, 3600, inf),
        (16, 25.6, 10, 3600),
        (16, 33, 10, 3600),
        (16, 65, 0.1, 5),
        (16, 85, 0.1, 5),
        (16, 150, 0.01, 0.1),
        (16, 1000, 0.0003, 0.001),
        (63, 160, 10, 3600),
        (63, 820, 0.01, 0.1),
        (100, 160, 10, 7200),
    ],
)
def test_gg_gate(rating_a, current_a, earliest_s, latest_s):
    band = fuse_band("gG", rating_a, current_a)
    assert (band.min_s, band.max_s) == (pytest.approx(earliest_s), pytest.approx(latest_s))


def test_a_gg_rating_between_two_tabled_ones_takes_the_safer_of_each():
    """5 A lies between 4 A (holds 14 A for 0.1 s) and 6 A (opens at 72 A within 0.1 s): from memory."""
    assert fuse_band("gG", 5, 14.0).min_s == 0.1
    assert fuse_band("gG", 5, 14.1).min_s == 0.0
    assert fuse_band("gG", 5, 71.9).max_s == 5.0
    assert fuse_band("gG", 5, 72.0).max_s == 0.1
    assert ["not tabled" in fuse_band("gG", rating_a, 14.0).note for rating_a in (4, 5, 6)] == [False, True, False]


@pytest.mark.parametrize(
    ("name", "letter", "rating_a", "multiple", "earliest_s", "latest_s"),
    [
        # IEC 60127-2 sheet 2 (F, low breaking): 1.5 In 1 h, 2.1 In 30 min, 2.75 In 50 ms to 2 s, 4 In 10 to 300 ms,
        # 10 In 20 ms
        ("F", "L", 1, 1.5, 3600, inf),
        ("F", "L", 1, 2.1, 0.05, 1800),
        ("F", "L", 1, 2.75, 0.05, 2),
        ("F", "L", 1, 4, 0.01, 0.3),
        ("F", "L", 1, 10, 0, 0.02),
        # sheet 3 (T, low breaking): 2.1 In 2 min, 2.75 In 0.6 to 10 s, 4 In 0.15 to 3 s, 10 In 20 to 300 ms
        ("T", "L", 3.15, 2.1, 0.6, 120),
        ("T", "L", 3.15, 2.75, 0.6, 10),
        ("T", "L", 3.15, 4, 0.15, 3),
        ("T", "L", 3.15, 10, 0.02, 0.3),
        # sheet 5 (T, high breaking), 1 to 3.15 A: 2.1 In 30 min, 2.75 In 0.75 to 80 s
        ("T", "H", 2, 2.1, 0.75, 1800),
        ("T", "H", 2, 2.75, 0.75, 80),
        # the weaker of sheets 3 and 5 when the letter is not known
        ("T", "", 2, 2.75, 0.6, 80),
        ("T", "", 2, 10, 0.01, 0.3),
        # IEC 60269-1 aM: 4 In 60 s, 6.3 In within 60 s, 12.5 In 0.5 s, 19 In 0.1 s: from memory
        ("aM", "", 16, 4, 60, inf),
        ("aM", "", 16, 6.3, 0.5, 60),
        ("aM", "", 16, 19, 0, 0.1),
        # UL 248: 135 % within 1 h, 200 % within 2 min to 30 A: from memory
        ("J", "", 20, 1.35, 0, 3600),
        ("J", "", 20, 2, 0, 120),
        # UL 248 is tested at 60 Hz: from the threshold of current limitation, 30 times, within half a cycle of it
        ("J", "", 20, 30, 0, 1 / 120),
        ("J", "", 20, 29.9, 0, 120),
        ("CC", "", 20, 30, 0, 3000 / 600**2),
    ],
)
def test_fuse_gate(name, letter, rating_a, multiple, earliest_s, latest_s):
    band = fuse_band(name, rating_a, multiple * rating_a, letter)
    assert (band.min_s, band.max_s) == (earliest_s, pytest.approx(latest_s, rel=1e-6))


def test_a_time_delay_fuse_holds_as_its_standard_tests_it():
    """UL 248-4 class CC: 12 s at 200 %; UL 248-8 class J: 10 s at 500 %."""
    assert fuse_band("CC", 10, 20.0, time_delay=True).min_s == 12.0
    assert fuse_band("J", 10, 50.0, time_delay=True).min_s == 10.0
    assert fuse_band("J", 10, 50.0).min_s == 0.0


def test_what_is_not_tabled_promises_nothing_and_says_so():
    band = fuse_band("T", 16, 1000.0)
    assert (band.min_s, band.max_s) == (0.0, inf)
    assert "no points are tabled" in band.note
    assert "ends at 30 A" in fuse_band("CC", 60, 1000.0).note
    assert isinstance(fuse_let_through("T", 16, 1000.0), NotTabled)


@pytest.mark.parametrize(
    ("fault_a", "standard_a"),
    [(1, 1500), (1500, 1500), (1501, 3000), (3001, 4500), (5900, 6000), (6001, 10000), (10001, 20000)],
)
def test_standard_breaking_capacities(fault_a, standard_a):
    """IEC 60898-1 5.3.4: 1.5, 3, 4.5, 6 and 10 kA; above, 20 kA is preferred (from memory)."""
    assert standard_breaking_capacity(fault_a).value == standard_a
    assert isinstance(standard_breaking_capacity(20001), NotTabled)


def test_breaking_capacity_of_fuses():
    """IEC 60127-2: L 35 A or 10 In, E 150 A, H 1500 A. UL 248: CC, J and RK1 200 kA, K5 50 kA. UL 248-14 at 250 V."""
    assert fuse_breaking_capacity("F", 1.0).value == 35.0
    assert fuse_breaking_capacity("F", 6.3).value == 63.0
    assert fuse_breaking_capacity("T", 6.3, letter="H").value == 1500.0
    assert fuse_breaking_capacity("T", 6.3, letter="E").value == 150.0
    assert fuse_breaking_capacity("J", 30.0).value == 200000.0
    assert fuse_breaking_capacity("K5", 30.0).value == 50000.0
    assert fuse_breaking_capacity("midget", 1.0).value == 35.0
    assert fuse_breaking_capacity("midget", 10.0).value == 200.0
    assert fuse_breaking_capacity("midget", 10.0, marked_a=10000.0).value == 10000.0
    assert isinstance(fuse_breaking_capacity("F", 1.0, letter="Q"), NotTabled)


def test_let_through_of_a_fuse_is_the_tabled_total_once_it_melts_within_10_ms():
    """IEC 60269-1 table 7: gG 16 A 1000 A2s, 63 A 27 000 A2s."""
    assert fuse_let_through("gG", 16, 1000.0).value == pytest.approx(1000.0)
    assert fuse_let_through("gG", 63, 10000.0).value == pytest.approx(27000.0)
    assert isinstance(fuse_let_through("gG", 16, 20.0), NotTabled)


def test_a_small_gg_fuse_lets_through_no_more_than_the_first_with_a_tabled_total():
    """Below 16 A no total is tabled; 1000 A2s of 16 A bounds them: (400 A)2 t = 1000 A2s at 6.25 ms."""
    assert fuse_band("gG", 6, 400.0).max_s == pytest.approx(0.00625)
    assert fuse_band("gG", 6, 400.0).min_s == 0.0


def test_the_energy_of_a_class_holds_within_half_a_cycle_of_60_hz():
    """7,000 A2s of class J to 30 A are reached in 8.33 ms at 917 A, not in 10 ms at 837 A (UL 248-8, at 60 Hz)."""
    assert fuse_let_through("J", 30, 850.0).value == pytest.approx(850.0**2 * 120)
    assert fuse_let_through("J", 30, 917.0).value == pytest.approx(7000.0)


def test_let_through_of_a_breaker_says_that_it_is_an_estimate():
    """By hand: (1000 A)2 x 0.01 s = 10 000 A2s in the magnetic range; (40 A)2 x 15 s below it at 6.7 In of a C6."""
    fast, slow = breaker_let_through("C", 6, 1000.0, False), breaker_let_through("C", 6, 40.0, False)
    assert fast.value == pytest.approx(10000.0)
    assert "0.1 s" in fast.note
    assert slow.value == pytest.approx(24000.0)
    assert isinstance(breaker_let_through("C", 6, 6.0, False), NotTabled)


def test_energy_class_3_of_a_breaker_goes_by_its_marking_and_without_one_by_the_most():
    """EN 60898-1, tables ZA and ZB (from memory): B to 16 A of class 3 lets through 35 000 A2s at 6 kA, 70 000 A2s at
    10 kA; at 3 kA in proportion 17 500 and 21 000 A2s, less than 3 kA squared by 10 ms, 90 000 A2s."""
    marked = breaker_let_through("B", 16, 3000.0, False, energy_class="3", breaking_a=6000.0)
    unmarked = breaker_let_through("B", 16, 3000.0, False, energy_class="3")
    assert marked.value == pytest.approx(17500.0)
    assert unmarked.value == pytest.approx(21000.0)


def test_gg_total_energy_stays_below_the_melting_energy_1_6_times_higher():
    """IEC 60269-1 5.6.3: fuses gG of 16 A up in the ratio 1.6 are selective; the I2t of table 7 must agree."""
    for up, down in ((25, 16), (32, 20), (40, 25), (50, 32), (63, 40), (80, 50), (100, 63), (160, 100)):
        above, below = device_curve(Device("fuse", up, "gG"), False), device_curve(Device("fuse", down, "gG"), False)
        assert below.total_a2s <= above.melting_a2s


@pytest.mark.parametrize(
    ("fuse_class", "rating_a", "most_a2s"),
    [("CC", 15, 3e3), ("CC", 30, 7e3), ("J", 30, 7e3), ("J", 60, 30e3), ("RK1", 30, 11e3), ("RK5", 30, 50e3)],
)
def test_current_limiting_fuses_let_no_more_through_than_ul_248_allows(fuse_class, rating_a, most_a2s):
    """UL 248-4, -8 and -12, limits of total I2t (from memory): they hold where the fuse melts within half a cycle."""
    fault_a = 10_000.0
    limit = fuse_let_through(fuse_class, rating_a, fault_a)
    assert limit.value <= most_a2s
    assert limit.value < fault_a**2 * 0.01


def test_class_rk1_lets_less_through_than_rk5():
    """UL 248-12, clause 4: the sub-class RK1 has the lower let-through of the two."""
    for rating in (30, 60, 100):
        assert fuse_curve("RK1", rating).total_a2s < fuse_curve("RK5", rating).total_a2s


# --- overload relays, electronic fuses


def test_overload_relay_classes():
    """IEC 60947-4-1 tables 2 and 3: no trip in 2 h at 1.05, trip in 2 h at 1.2; class 10 4 to 10 s at 7.2 (memory)."""
    curve = overload_curve("10", 4.0)
    assert curve.at(4.2).min_s == 7200
    assert curve.at(4.8).max_s == 7200
    assert (curve.at(28.8).min_s, curve.at(28.8).max_s) == (4, 10)
    assert overload_curve("30", 4.0).at(28.8).max_s == 30
    assert overload_curve("20", 4.0).at(6.0).max_s == 480
    with pytest.raises(ValueError, match="trip class"):
        overload_curve("15", 4.0)


def test_a_magnetic_release_opens_at_once_within_20_percent_of_its_setting():
    curve = overload_curve("10", 4.0, magnetic_a=52.0)
    assert curve.at(41.6).min_s == 0.1
    assert curve.at(41.7).min_s == 0.0
    assert curve.at(62.4).max_s == 0.1


def test_electronic_fuse_follows_its_data():
    device = Device("electronic-fuse", 4.0, limit_multiple=1.25, limit_s=0.1)
    assert clears(device, 4.0, True).min_s == inf
    assert clears(device, 4.9, True).max_s == inf
    assert clears(device, 5.0, True).max_s == 0.1
    assert let_through(device, 5.0, True).value == pytest.approx(2.5)


def test_conventional_operating_current():
    """IEC 60364-4-43 433.1, I2: 1.45 In of a breaker, 1.6 In of gG from 16 A, 1.9 In below 16 A, 2.1 In to 4 A."""
    assert surely_opens_at(Device("breaker", 10, "B"), False) == pytest.approx(14.5)
    assert surely_opens_at(Device("fuse", 20, "gG"), False) == pytest.approx(32.0)
    assert surely_opens_at(Device("fuse", 10, "gG"), False) == pytest.approx(19.0)
    assert surely_opens_at(Device("fuse", 4, "gG"), False) == pytest.approx(8.4)
    assert surely_opens_at(Device("fuse", 2, "T", letter="L"), True) == pytest.approx(4.2)


# --- second method and sweeps

DEVICES = [
    *(Device("breaker", 10, curve) for curve in "BCDKZ"),
    *(Device("breaker", 20, curve, standard) for curve in "BCD" for standard in ("UL 489", "UL 1077")),
    *(Device("fuse", 5, name) for name in fuses.CLASSES),
    *(Device("fuse", rating, "gG") for rating in (2, 10, 16, 63, 160)),
    Device("fuse", 20, "J", time_delay=True),
    Device("electronic-fuse", 4),
    *(
        Device("motor-protector", 4, name, magnetic_a=magnetic)
        for name in ("10A", "10", "20", "30")
        for magnetic in (None, 52.0)
    ),
]


def step(points, kind, outside):
    """Second method: scipy's step reading of (current, time) points, its ends held at what is promised there."""
    currents, times = zip(*sorted(points), strict=True)
    return interp1d(currents, times, kind=kind, bounds_error=False, fill_value=outside)


@pytest.mark.parametrize("dc", [False, True])
@pytest.mark.parametrize("device", DEVICES, ids=str)
def test_bands_against_a_step_reading_by_scipy(device, dc):
    """Hold points read to the next one above, open points from the last one below; I2t left out of the comparison."""
    curve = device_curve(device, dc)
    big = 1e12
    holds = [(point.current_a, min(point.hold_s, big)) for point in curve.points if point.hold_s is not None]
    opens = [(point.current_a, point.open_s) for point in curve.points if point.open_s is not None]
    earliest = step(holds, "next", (big, 0.0))
    latest = step(opens, "previous", (big, min(time for _, time in opens)))
    corners = np.array(curve.corners())
    between = np.concatenate([corners * 0.999, corners * 1.001, np.geomspace(corners[0] / 2, corners[-1] * 4, 60)])
    for current in between:
        band = curve.at(float(current))
        if curve.melting_a2s is None or band.min_s > 0.01:
            assert min(band.min_s, big) == pytest.approx(float(earliest(current)))
        if curve.total_a2s is None or band.max_s > 0.01:
            assert min(band.max_s, big) == pytest.approx(float(latest(current)))


@pytest.mark.parametrize("device", DEVICES, ids=str)
@given(first=st.floats(0.1, 5000.0), second=st.floats(0.1, 5000.0))
def test_more_current_never_opens_later_and_the_earliest_is_never_after_the_latest(device, first, second):
    low, high = sorted((first, second))
    for dc in (False, True):
        slow, fast = clears(device, low, dc), clears(device, high, dc)
        assert fast.max_s <= slow.max_s
        assert fast.min_s <= slow.min_s
        assert slow.min_s <= slow.max_s
        assert fast.min_s <= fast.max_s


@pytest.mark.parametrize("family", ["B", "C", "D", "K", "Z", "gG"])
@given(current=st.floats(1.0, 3000.0), data=st.data())
def test_a_larger_rating_never_opens_sooner(family, current, data):
    ladder = (2, 4, 6, 10, 16, 20, 25, 32, 40, 50, 63, 80, 100)
    small, large = sorted((data.draw(st.sampled_from(ladder)), data.draw(st.sampled_from(ladder))))
    kind = "fuse" if family == "gG" else "breaker"
    below, above = (
        clears(Device(kind, small, family), current, False),
        clears(Device(kind, large, family), current, False),
    )
    assert above.max_s >= below.max_s
    assert above.min_s >= below.min_s


@given(current=st.floats(0.0, 1e5))
def test_direct_current_never_trips_a_breaker_sooner(current):
    for curve in "BCDKZ":
        assert trip_band(curve, 10, current, True).max_s >= trip_band(curve, 10, current, False).max_s
        assert trip_band(curve, 10, current, True).min_s == trip_band(curve, 10, current, False).min_s


def test_negative_current_is_refused():
    with pytest.raises(ValueError, match="not below zero"):
        trip_band("B", 10, -1.0, False)


# --- limited sources, against wire lengths measured with one 10 A supply of 24 V

OHM_PER_M = {"0.75": 0.026, "1.0": 0.0195, "1.5": 0.0133, "2.5": 0.00798}  # IEC 60228 class 5 at 20 °C
LENGTHS = [
    (row["curve"], float(row["rating_A"]), area, float(row[f"max_total_wire_m_{area}mm2"]))
    for row in table("mcb_dc_trip_length")
    for area in OHM_PER_M
]


@pytest.mark.parametrize(("curve", "rating_a", "area", "measured_m"), LENGTHS)
def test_what_was_measured_to_trip_is_never_said_to_hold(curve, rating_a, area, measured_m):
    """It tripped behind that length, with at most U / R of the wire alone: the band must not say that it holds."""
    current = 24.0 / (measured_m * OHM_PER_M[area])
    assert trip_band(curve, rating_a, current, dc=True).min_s < 0.1


@pytest.mark.parametrize(("curve", "rating_a", "area", "measured_m"), LENGTHS)
def test_a_trip_is_promised_behind_no_more_wire_than_was_measured(curve, rating_a, area, measured_m):
    """The supply gives 15 A for long (1.5 times its 10 A); it must not be said that this trips what needs more."""
    device = Device("breaker", rating_a, curve)
    loop = measured_m * 1.5 * OHM_PER_M[area]
    answer = trips_on_limited_source(device, 24.0, loop, limit_a=15.0)
    needed = {"B": 5, "C": 10}[curve] * 1.5 * rating_a
    assert answer.needed_a == pytest.approx(needed)
    assert answer.outcome is not Outcome.IN_PULSE


@pytest.mark.parametrize(
    ("curve", "rating_a", "area", "measured_m"), [row for row in LENGTHS if row[0] == "C" and row[1] <= 3]
)
def test_small_breakers_are_promised_less_wire_than_was_measured(curve, rating_a, area, measured_m):
    """Up to C3 (45 A) the supply's pulse was no limit; its pole of 0.4 and 0.2 ohm (memory) stands in the loop."""
    pole = {2.0: 0.4, 3.0: 0.2}[rating_a]
    fault_a = 24.0 / (pole + OHM_PER_M[area] * measured_m)
    assert fault_a <= surely_opens_at(Device("breaker", rating_a, curve), dc=True, within_s=0.1)


def test_outcomes_behind_an_electronic_supply():
    """By hand: 24 V over 0.4 ohm is 60 A; C2 needs 2 x 10 x 1.5 = 30 A, C6 90 A, and 15 A is 2.5 times 6 A."""
    small, large = Device("breaker", 2, "C"), Device("breaker", 6, "C")
    assert trips_on_limited_source(small, 24.0, 0.4, 10.0, peak_a=60.0).outcome is Outcome.IN_PULSE
    late = trips_on_limited_source(large, 24.0, 0.4, 15.0, peak_a=60.0)
    assert (late.outcome, late.initial_a, late.steady_state_a, late.opens_s) == (Outcome.LATER, 60.0, 15.0, 3600.0)
    assert trips_on_limited_source(large, 24.0, 0.4, 7.0).outcome is Outcome.NEVER
    cut = trips_on_limited_source(large, 24.0, 0.4, 0.0, peak_a=20.0)
    assert (cut.outcome, cut.opens_s) == (Outcome.NEVER, inf)
    electronic = Device("electronic-fuse", 4, limit_multiple=1.25, limit_s=0.01)
    assert trips_on_limited_source(electronic, 24.0, 2.0, 10.0).outcome is Outcome.IN_PULSE


# --- selectivity


def test_fuses_in_the_ratio_1_6_are_selective():
    assert fuse_ratio(25, 16)[0] == 1.6
    assert fuse_ratio(16, 10)[0] == 2.0
    for up, down in ((25, 16), (32, 20), (63, 40)):
        assert selective(Device("fuse", up, "gG"), Device("fuse", down, "gG"), 1000.0).order is Order.SELECTIVE
    assert selective(Device("fuse", 20, "gG"), Device("fuse", 16, "gG"), 1000.0).order is Order.UNDECIDED
    assert selective(Device("fuse", 16, "gG"), Device("fuse", 10, "gG"), 1000.0).order is Order.UNDECIDED


def test_breakers_are_selective_up_to_the_magnetic_release_of_the_upper_one():
    """IEC 60898-1: C16 holds up to 80 A for 0.1 s; C6 trips from 60 A within 0.1 s."""
    up, down = Device("breaker", 16, "C"), Device("breaker", 6, "C")
    assert selective(up, down, 70.0).order is Order.SELECTIVE
    assert selective(up, down, 81.0).order is Order.UNDECIDED
    assert selective(up, down, 1000.0).order is Order.UNDECIDED
    assert selective(down, up, 10.0).order is Order.WRONG  # 1.67 times 6 A, below the rating of the other
    assert selective(Device("breaker", 6, "C"), Device("breaker", 63, "C"), 61.0).order is Order.WRONG


# --- the questions the other way round


@pytest.mark.parametrize("dc", [False, True])
@pytest.mark.parametrize("device", DEVICES, ids=str)
def test_the_current_that_surely_opens_does_and_a_little_less_does_not(device, dc):
    for within_s in (0.001, 0.005, 0.01, 0.1, 5.0, 60.0, inf):
        needed = surely_opens_at(device, dc, within_s)
        if needed < inf:
            assert clears(device, needed * (1 + 1e-9), dc).max_s <= (7200.0 if within_s == inf else within_s) * (
                1 + 1e-9
            )
            assert clears(device, needed * 0.999, dc).max_s > within_s or within_s == inf
        if within_s == inf and needed < inf:
            assert clears(device, needed * 0.999, dc).max_s == inf


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: trip_band("C", 10, 10.0, False, "GB 1"),
        lambda: breaker_breaking_capacity(None, "GB 1"),
        lambda: supplies_behind_breaker("Q", 10, 10.0, 1.0),
        lambda: fuse_band("slow", 10, 10.0),
        lambda: fuse_breaking_capacity("slow", 10.0),
        lambda: clears(Device("electronic-fuse", 10, limit_multiple=0.5), 10.0, True),
        lambda: clears(Device("relay", 10), 10.0, True),
    ],
)
def test_unknown_data_is_refused_in_words(wrong):
    with pytest.raises(ValueError, match=r"known|expected|is no"):
        wrong()


def test_let_through_by_family():
    """By hand: gG 16 A 1000 A2s; 28.8 A for 10 s is 8294 A2s of a class 10 relay at 4 A; none at its setting."""
    assert let_through(Device("fuse", 16, "gG"), 1000.0, False).value == pytest.approx(1000.0)
    assert let_through(Device("motor-protector", 4, "10"), 28.8, False).value == pytest.approx(8294.4)
    assert isinstance(let_through(Device("motor-protector", 4, "10"), 4.0, False), NotTabled)
    assert let_through(Device("breaker", 6, "C"), 1000.0, False).value == pytest.approx(10000.0)
