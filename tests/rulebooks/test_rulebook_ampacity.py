"""Ampacity: hand derivations from the tables' own standards, the physics behind the factors, and sweeps."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiring.quantities import parse, parse_wire_size
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.book import IEC, NA
from wiring.rulebooks.citation import Limit, Standing
from wiring.rulebooks.laying import KINDS, Laying
from wiring.rulebooks.tables import load


def amps(book, size, insulation_c, laying):
    answer = book.ampacity(parse_wire_size(size), insulation_c, laying)
    assert isinstance(answer, Limit), answer
    assert answer.unit == "A"
    return answer.value


@pytest.mark.parametrize(
    ("size", "laying", "expected"),
    [
        # IEC 60204-1 table 6 at 40 °C: B1 13.5 A, B2 13.1 A, E 16.1 A for 1.5 mm2
        ("1.5 mm2", Laying("duct", 40), 13.5),
        ("1.5 mm2", Laying("duct", 40, cores=3), 13.1),
        ("1.5 mm2", Laying("open", 40, cores=3), 16.1),
        # below 40 °C nothing is gained
        ("1.5 mm2", Laying("duct", 25), 13.5),
        # D.1: 0.82 at 50 °C; 41 °C lies a fifth of the way from 1.0 at 40 °C to 0.91 at 45 °C, where the law of heat
        # gives sqrt(29/30) = 0.983 and the chord 0.982
        ("1.5 mm2", Laying("duct", 50), 13.5 * 0.82),
        ("1.5 mm2", Laying("duct", 41), 13.5 * (0.8 * 1.0 + 0.2 * 0.91)),
        # B.52.17 bunched: four circuits 0.65; D.2 has the same
        ("2.5 mm2", Laying("duct", 40, loaded_circuits=4), 18.3 * 0.65),
        # D.3: five cores 0.75; four cores take the row of five
        ("1.5 mm2", Laying("duct", 40, "machine", cores=5), 13.1 * 0.75),
        ("1.5 mm2", Laying("duct", 40, "machine", cores=4), 13.1 * 0.75),
        # four cores of 0.75 mm2 are two pairs, the row of three pairs 0.5
        ("0.75 mm2", Laying("duct", 40, "machine", cores=4), 8.5 * 0.5),
        # three cores of 0.5 mm2 are two pairs, the row of three pairs 0.5; two are the table's own condition
        ("0.5 mm2", Laying("duct", 40, "machine", cores=3), 7.5 * 0.5),
        ("0.5 mm2", Laying("duct", 40, "machine", cores=2), 7.5),
        # seven cores are four pairs, the row of five pairs 0.39
        ("0.75 mm2", Laying("duct", 40, "machine", cores=7), 8.5 * 0.39),
        # beyond the 20 circuits of B.52.17 (0.38) the total heat stays: 0.38 sqrt(20/45)
        ("2.5 mm2", Laying("duct", 40, loaded_circuits=45), 18.3 * 0.38 * 2 / 3),
        # pairs: 0.5 mm2 7.5 A, six circuits 0.48; 0.34 mm2 takes the row of 0.2 mm2
        ("0.5 mm2", Laying("duct", 40, loaded_circuits=6), 7.5 * 0.48),
        ("0.34 mm2", Laying("duct", 40), 4.3),
        # AWG by its area: 14 AWG is 2.08 mm2 and takes 1.5 mm2
        ("14 AWG", Laying("duct", 40), 13.5),
    ],
)
def test_iec_machine(size, laying, expected):
    assert amps(IEC, size, 70, laying) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("size", "insulation_c", "laying", "expected"),
    [
        # IEC 60364-5-52 B.52.4 and B.52.2: 2.5 mm2 in conduit B1, three loaded 21 A, two loaded 24 A
        ("2.5 mm2", 70, Laying("conduit", 30, "feed", loaded_conductors=3), 21),
        ("2.5 mm2", 70, Laying("conduit", 30, "feed", loaded_conductors=2), 24),
        # B.52.5: XLPE 28 A, at 40 °C 0.91, terminals marked for 90 °C
        ("2.5 mm2", 90, Laying("conduit", 40, "feed", loaded_conductors=3, terminal_c=90), 28 * 0.91),
        # the same wire on ordinary terminals is held to the 70 °C table: 21 A x 0.87
        ("2.5 mm2", 90, Laying("conduit", 40, "feed", loaded_conductors=3), 21 * 0.87),
    ],
)
def test_iec_feed(size, insulation_c, laying, expected):
    assert amps(IEC, size, insulation_c, laying) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("size", "insulation_c", "laying", "expected"),
    [
        # NFPA 79 12.5.1: 14 AWG 15/20/25 A; unmarked terminals hold it to 60 °C
        ("14 AWG", 90, Laying("duct", 30), 15),
        ("14 AWG", 90, Laying("duct", 30, terminal_c=75), 20),
        ("14 AWG", 90, Laying("duct", 30, terminal_c=90), 25),
        # 45 °C 0.87 and 12 conductors 0.5: 25 x 0.87 x 0.5 = 10.875 A, below the terminals
        ("14 AWG", 90, Laying("duct", 45, loaded_conductors=12), 10.875),
        # 105 °C insulation has no column of its own
        ("14 AWG", 105, Laying("duct", 30, terminal_c=105), 25),
        # 70 °C insulation goes to the 60 °C column
        ("14 AWG", 70, Laying("duct", 30, terminal_c=75), 15),
        # 2.5 mm2 is thicker than 14 AWG (2.08) and thinner than 12 AWG (3.31)
        ("2.5 mm2", 90, Laying("duct", 30), 15),
        # over 1 AWG the terminals count as 75 °C: 1/0 AWG 150 A
        ("1/0 AWG", 90, Laying("duct", 30), 150),
    ],
)
def test_north_american_machine(size, insulation_c, laying, expected):
    assert amps(NA, size, insulation_c, laying) == pytest.approx(expected)


def test_where_an_insulation_may_not_be_used_the_ampacity_is_zero():
    assert amps(IEC, "1.5 mm2", 70, Laying("duct", 61)) == 0
    assert amps(IEC, "1.5 mm2", 105, Laying("duct", 105)) == 0
    assert amps(NA, "14 AWG", 60, Laying("duct", 56)) == 0


def test_what_is_not_tabled_says_so():
    for book, size, insulation_c in (
        (IEC, "0.14 mm2", 70),
        (IEC, "26 AWG", 70),
        (NA, "32 AWG", 90),
        (NA, "14 AWG", 50),
    ):
        answer = book.ampacity(parse_wire_size(size), insulation_c, Laying("duct", 30))
        assert isinstance(answer, NotTabled)
        assert answer.reason
    with pytest.raises(ValueError, match="no way of laying"):
        IEC.ampacity(parse_wire_size("1.5 mm2"), 70, Laying("ceiling", 30))


def test_sizes_of_two_systems_are_never_silently_exchanged():
    exchanged = ((IEC, "14 AWG", "1.5 mm2"), (NA, "2.5 mm2", "14 AWG"), (IEC, "0.34 mm2", "0.2 mm2"))
    for book, size, judged in exchanged:
        assert f"is judged as {judged}" in book.ampacity(parse_wire_size(size), 90, Laying("duct", 30)).note
    for book, size in ((IEC, "1.5 mm2"), (NA, "14 AWG")):
        assert "judged as" not in book.ampacity(parse_wire_size(size), 90, Laying("duct", 30)).note


def test_the_standing_is_that_of_the_weakest_figure():
    """Table 6 B2 is read in two manuals, D.3 is from memory, another insulation is computed."""
    plain = IEC.ampacity(parse_wire_size("1.5 mm2"), 70, Laying("duct", 40, cores=2))
    crowded = IEC.ampacity(parse_wire_size("1.5 mm2"), 70, Laying("duct", 40, cores=7))
    hot = IEC.ampacity(parse_wire_size("1.5 mm2"), 105, Laying("duct", 40, cores=2, terminal_c=105))
    assert [answer.source.standing for answer in (plain, crowded, hot)] == [
        Standing.CONFIRMED,
        Standing.FROM_MEMORY,
        Standing.COMPUTED,
    ]


def test_table_6_is_the_building_table_at_40_degrees():
    """IEC 60204-1 table 6 and IEC 60364-5-52 B.52.4 were read in different places; 0.87 is B.52.14 at 40 °C."""
    building = load("iec", "ampacity_installation_pvc70")
    compared = 0
    for row in load("iec", "ampacity_machine").rows:
        size = row.text("size_mm2")
        if float(size) >= 1.5:
            other = building.row(size, 3.0, row.text("method"))
            assert abs(row.number("ampacity_a") - 0.87 * other.number("ampacity_a")) <= 0.6
            compared += 1
    assert compared == 48


def test_both_grouping_tables_agree():
    """IEC 60204-1 D.2 and IEC 60364-5-52 B.52.17 were read in different places."""
    compared = [
        (row.number("factor"), load("iec", "grouping").row(row.text("arrangement"), row.number("circuits_count")))
        for row in load("iec", "grouping_machine").rows
        if row.text("arrangement") != "control-pairs"
    ]
    assert len(compared) == 12
    assert all(factor == other.number("factor") for factor, other in compared)


def test_past_the_end_of_a_grouping_table_the_trend_goes_on_downwards():
    """Equal total heat is cautious: from 9 to 20 circuits the table itself falls to 0.76, and sqrt(9/20) is 0.67."""
    ends = [load("iec", "grouping").row("bunched", count).number("factor") for count in (9.0, 20.0)]
    assert ends[1] / ends[0] > sqrt(9 / 20)


def test_ambient_tables_follow_heat():
    """Rise is proportional to I^2: sqrt((Tc - Ta)/(Tc - T0)); IEC to 0.012, NFPA 70 at the end of a band to 0.01."""
    for row in load("iec", "ambient_machine").rows:
        assert row.number("factor") == pytest.approx(sqrt((70 - row.number("ambient_c")) / 30), abs=0.012)
    for row in load("iec", "ambient_installation").rows:
        limit_c = row.number("insulation_c")
        physics = sqrt((limit_c - row.number("ambient_c")) / (limit_c - 30))
        assert row.number("factor") == pytest.approx(physics, abs=0.012)
    for row in load("na", "ambient").rows:
        limit_c = row.number("insulation_c")
        physics = sqrt((limit_c - row.number("ambient_max_c")) / (limit_c - 30))
        assert row.number("factor") == pytest.approx(physics, abs=0.01)


BOOKS = st.sampled_from([(IEC, 70), (IEC, 90), (IEC, 105), (NA, 60), (NA, 75), (NA, 90)])
LAYINGS = st.builds(
    Laying,
    kind=st.sampled_from(KINDS),
    ambient_c=st.floats(-10, 90),
    location=st.sampled_from(["enclosure", "machine", "feed"]),
    cores=st.integers(0, 40),
    loaded_circuits=st.integers(1, 60),
    loaded_conductors=st.integers(1, 120),
    terminal_c=st.sampled_from([None, 60.0, 75.0, 90.0]),
)


def value(answer):
    return answer.value if isinstance(answer, Limit) else None


@given(BOOKS, LAYINGS)
def test_a_thicker_conductor_never_carries_less(book, laying):
    """From 0.75 mm2, where the table for power begins; below it the table for pairs has two loaded conductors."""
    rulebook, insulation_c = book
    found = [
        (size, value(rulebook.ampacity(size, insulation_c, laying)))
        for size in rulebook.standard_sizes()
        if size.area_mm2 >= 0.75
    ]
    carried = [amount for _, amount in found if amount is not None]
    assert carried == sorted(carried)
    tabled = [amount is not None for _, amount in found]
    assert tabled == sorted(tabled)


@given(BOOKS, LAYINGS, st.floats(0, 30), st.integers(0, 20))
def test_more_heat_or_more_company_never_raises_the_ampacity(book, laying, warmer, more):
    rulebook, insulation_c = book
    crowd = Laying(
        laying.kind, laying.ambient_c + warmer, laying.location, laying.cores, laying.loaded_circuits + more,
        laying.loaded_conductors + more, laying.terminal_c,
    )  # fmt: skip
    for size in rulebook.standard_sizes():
        before, after = (value(rulebook.ampacity(size, insulation_c, lie)) for lie in (laying, crowd))
        assert (before is None) == (after is None)
        if before is not None:
            assert 0 <= after <= before + 1e-12


@given(LAYINGS)
def test_hotter_insulation_never_carries_less(laying):
    """On machines in both books, for the feed in one: its IEC tables for PVC and XLPE are two measured sets."""
    for rulebook, steps in ((IEC, (70, 90, 105, 180)), (NA, (60, 75, 90, 105))):
        for size in rulebook.standard_sizes():
            if rulebook is NA or laying.location != "feed":
                found = [value(rulebook.ampacity(size, insulation_c, laying)) for insulation_c in steps]
                known = [amount for amount in found if amount is not None]
                assert known == sorted(known)


@pytest.mark.parametrize(("fahrenheit", "factor"), [(104, 0.88), (113, 0.82), (122, 0.75), (131, 0.67), (140, 0.58)])
def test_the_upper_end_of_a_band_belongs_to_it_in_degrees_fahrenheit_too(fahrenheit, factor):
    """NFPA 70 table 310.15(B)(1), 75 °C: 36-40 °C 0.88, 41-45 0.82, 46-50 0.75, 51-55 0.67, 56-60 0.58."""
    ambient_c = parse(f"{fahrenheit} °F", "temperature").value
    laying = Laying("open", ambient_c, "feed", loaded_conductors=3, terminal_c=75)
    base = NA.ampacity(parse_wire_size("8 AWG"), 75, Laying("open", 30, "feed", loaded_conductors=3, terminal_c=75))
    assert NA.ampacity(parse_wire_size("8 AWG"), 75, laying).value == pytest.approx(factor * base.value)


def test_a_last_digit_that_a_change_of_units_left_does_not_change_the_band():
    """40 °C ends the band of 0.88, and 40 °C and one part in 10^12 as well (NFPA 70 table 310.15(B)(1))."""
    rows = load("na", "ambient")
    assert rows.at_or_above("ambient_max_c", 40 * (1 + 1e-12), insulation_c=75.0).number("factor") == 0.88
    assert rows.at_or_above("ambient_max_c", 40.1, insulation_c=75.0).number("factor") == 0.82


@pytest.mark.parametrize(
    ("size", "insulation_c", "ambient_c", "expected"),
    [
        # IEC 60364-5-52 B.52.2 and B.52.3, D1, two loaded conductors in ground of 20 °C: 29 A and 33 A (from memory)
        ("2.5 mm2", 70, 20, 29.0),
        # colder ground is not counted on
        ("2.5 mm2", 70, 5, 29.0),
        # B.52.15 at 35 °C: 0.84 and 0.89 in two figures, where the law of heat gives sqrt(35/50) and sqrt(55/70)
        ("2.5 mm2", 70, 35, 29.0 * 0.84),
        ("2.5 mm2", 90, 35, 33.0 * 0.89),
    ],
)
def test_iec_conduit_in_the_ground(size, insulation_c, ambient_c, expected):
    laying = Laying("conduit", ambient_c, "feed", cores=3, terminal_c=90, given_method="D1")
    assert amps(IEC, size, insulation_c, laying) == pytest.approx(expected, rel=0.006)
