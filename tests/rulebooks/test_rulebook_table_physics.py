"""Ampacity tables against the physics behind them, so that one wrong cell stands out."""

from itertools import pairwise
from math import log

import pytest

from wiring.quantities import parse_wire_size
from wiring.rulebooks.conductors import gauge_size
from wiring.rulebooks.laying import KINDS, Laying
from wiring.rulebooks.tables import load

IEC_TABLES = ("ampacity_machine", "ampacity_installation_pvc70", "ampacity_installation_xlpe90")


def curves(name):
    """Every column of an IEC table as pairs of area and current, from 1.5 mm2."""
    rows = load("iec", name).rows
    keys = dict.fromkeys((row.cells.get("loaded_count"), row.text("method")) for row in rows)
    for loaded, method in keys:
        yield [
            (float(row.text("size_mm2")), row.number("ampacity_a"))
            for row in rows
            if (row.cells.get("loaded_count"), row.text("method")) == (loaded, method)
            and float(row.text("size_mm2")) >= 1.5
        ]


@pytest.mark.parametrize("name", IEC_TABLES)
def test_current_grows_with_area_as_heat_allows(name):
    """I^2 rho/S = h pi d dT: with d as sqrt(S), I goes with S^0.75 while h holds and S^0.5 when h falls with 1/d.

    Between two neighbours of a table the exponent lies in between; 0.03 is the rounding to whole amperes.
    """
    compared = 0
    for curve in curves(name):
        for (area, amps), (thicker, more) in pairwise(curve):
            assert 0.47 <= log(more / amps) / log(thicker / area) <= 0.78, (name, area, thicker)
            compared += 1
    assert compared >= 44


def test_better_laying_never_carries_less():
    """A2 <= A1 <= B2 <= B1 <= C <= E in every row: each is cooled better than the one before it."""
    for name in IEC_TABLES:
        table = load("iec", name)
        for key in dict.fromkeys((row.text("size_mm2"), row.cells.get("loaded_count")) for row in table.rows):
            found = [
                row.number("ampacity_a")
                for method in ("A2", "A1", "B2", "B1", "C", "E")
                for row in table.rows
                if (row.text("size_mm2"), row.cells.get("loaded_count"), row.text("method")) == (*key, method)
            ]
            assert len(found) >= 4
            assert found == sorted(found)


def test_hotter_insulation_carries_more_by_about_the_root_of_the_rise():
    """sqrt(60 K/40 K) = 1.22, less 3 % for hotter copper, more where radiation helps: 1.15 to 1.38. From ground of
    20 °C sqrt(70 K/50 K) = 1.18, less 3 % is 1.15, and whole amperes of 18 A or more are 3 % apart on each side."""
    cooler = load("iec", "ampacity_installation_pvc70")
    for row in load("iec", "ampacity_installation_xlpe90").rows:
        other = cooler.row(row.text("size_mm2"), row.number("loaded_count"), row.text("method"))
        least, most = (1.12, 1.22) if row.text("method") == "D1" else (1.15, 1.38)
        assert least <= row.number("ampacity_a") / other.number("ampacity_a") <= most


@pytest.mark.parametrize("insulation_c", [60.0, 75.0, 90.0])
def test_north_american_table_grows_as_heat_allows(insulation_c):
    """NFPA 70 310.16 is rounded to 5 A, half of which may fall on either neighbour, one up and one down."""
    points = [
        (gauge_size(row.text("system"), row.text("size")).area_mm2, row.number("ampacity_a"))
        for row in load("na", "ampacity_building").where(insulation_c=insulation_c)
        if row.text("size") not in ("18", "16")
    ]
    for (area, amps), (thicker, more) in pairwise(points):
        span = log(thicker / area)
        assert log((more + 2.5) / (amps - 2.5)) / span >= 0.47
        assert log((more - 2.5) / (amps + 2.5)) / span <= 0.78


def test_nfpa_79_repeats_nfpa_70():
    """From 14 AWG table 12.5.1 has the cells of 310.16; a forum thread says so, the rest is memory."""
    machine, building = load("na", "ampacity_machine"), load("na", "ampacity_building")
    same = [
        row.number("ampacity_a") == building.row(*(row.cells[key] for key in building.keys)).number("ampacity_a")
        for row in machine.rows
        if gauge_size(row.text("system"), row.text("size")).area_mm2 > 2
    ]
    assert len(same) == 54
    assert all(same)


@pytest.mark.parametrize(
    ("device_a", "size"),
    [
        # NFPA 70 table 250.122, copper, as public pages print it
        (15, "14"), (20, "12"), (60, "10"), (100, "8"), (200, "6"), (300, "4"), (400, "3"), (500, "2"), (600, "1"),
        (800, "1/0"), (1000, "2/0"), (1200, "3/0"), (1600, "4/0"),
    ],
)  # fmt: skip
def test_equipment_grounding_conductors(device_a, size):
    assert load("na", "protective_conductor_building").row(device_a).text("size") == size
    assert load("na", "protective_conductor_building").at_or_above("device_max_a", device_a - 0.5).text("size") == size


@pytest.mark.parametrize(
    ("kind", "cores", "method", "arrangement"),
    [
        # the choice written in the module; the letters are those of IEC 60364-5-52 table A.52.3
        ("duct", 0, "B1", "bunched"),
        ("conduit", 3, "B2", "bunched"),
        ("loom", 0, "B1", "bunched"),
        ("loom", 4, "B2", "bunched"),
        ("gland", 2, "B2", "bunched"),
        ("chain", 4, "E", "bunched"),
        ("tray", 4, "E", "layer-on-perforated-tray"),
        ("open", 0, "E", "bunched"),
    ],
)
def test_installation_method(kind, cores, method, arrangement):
    laying = Laying(kind, 30, cores=cores)
    assert (laying.method, laying.arrangement) == (method, arrangement)


def test_every_way_of_laying_is_tabled_for_an_ordinary_wire():
    from wiring.rulebooks.book import IEC, NA

    for kind in KINDS:
        for cores in (0, 3):
            for location in ("enclosure", "machine", "feed"):
                laying = Laying(kind, 30, location, cores, loaded_conductors=3)
                assert IEC.ampacity(parse_wire_size("1.5 mm2"), 70, laying).value > 10
                assert NA.ampacity(parse_wire_size("14 AWG"), 90, laying).value == 15
