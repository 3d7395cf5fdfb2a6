"""Heat of cabinets and ratings of contacts: published figures, physics as a second method, sweeps."""

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiring.rulebooks import contacts, enclosure
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.enclosure import Enclosure, effective_surface, inside_temperature
from wiring.rulebooks.tables import load

BOX = Enclosure(0.5, 0.5, 0.21, "painted-steel", "wall")
MOUNTINGS = [row.text("mounting") for row in load("common", "enclosure_mounting").rows]
MATERIALS = [row.text("material") for row in load("common", "enclosure_material").rows]

# Weights of faces in IEC TR 60890: top 1.4 (covered 0.7), free front, back or side 0.9, covered or shared side 0.5.
FACES = {
    "free-standing": (0.9 + 0.9, 0.9 + 0.9, 1.4),
    "wall": (0.9 + 0.5, 0.9 + 0.9, 1.4),
    "row-end": (0.9 + 0.9, 0.9 + 0.5, 1.4),
    "row-end-wall": (0.9 + 0.5, 0.9 + 0.5, 1.4),
    "row-middle": (0.9 + 0.9, 0.5 + 0.5, 1.4),
    "row-middle-wall": (0.9 + 0.5, 0.5 + 0.5, 1.4),
    "row-middle-wall-covered": (0.9 + 0.5, 0.5 + 0.5, 0.7),
}


@pytest.mark.parametrize("mounting", MOUNTINGS)
def test_effective_surface_is_the_weighed_sum_of_the_faces(mounting):
    """Second method: face by face, 0.6 m wide, 0.8 m high, 0.3 m deep."""
    front, side, top = FACES[mounting]
    box = Enclosure(0.6, 0.8, 0.3, "painted-steel", mounting)
    assert effective_surface(box).value == pytest.approx(front * 0.48 + side * 0.24 + top * 0.18)


def test_rise_of_a_sealed_cabinet_by_hand():
    """Wall cabinet 0.5 x 0.5 x 0.21 m: 1.4 x 0.25 + (1.8 + 1.4) x 0.105 = 0.686 m2; 60 W / (5.5 x 0.686) = 15.9 K."""
    found = inside_temperature(BOX, 60.0, 35.0)
    assert found.rise_k == pytest.approx(15.902, abs=0.001)
    assert found.inside_c == pytest.approx(50.902, abs=0.001)
    assert (found.wall_w, found.fan_w) == (pytest.approx(60.0), 0.0)
    assert "hotter" in found.limit.note


# Published cabinets of painted steel: sizes [m], mounting, surface [m2], rise [K] and the heat that then leaves [W].
@pytest.mark.parametrize(
    ("width", "height", "depth", "mounting", "surface_m2", "rise_k", "heat_w"),
    [
        # engineering guide of a maker of drives, page 7-6, https://www.easymanua.ls (manual 691667): the printed
        # 242 W come from a surface rounded to 4.4 m2
        (0.6, 2.0, 0.5, "free-standing", 4.38, 10.0, 242.0),
        # worked example at https://studylibde.com/doc/11533616: 5 K warmer outside, turned round, and 10 K in its table
        (1.2, 2.0, 0.6, "wall", 6.528, 5.0, 179.52),
        (1.2, 2.0, 0.6, "wall", 6.528, 10.0, 359.04),
    ],
)
def test_the_balance_of_published_cabinets(width, height, depth, mounting, surface_m2, rise_k, heat_w):
    box = Enclosure(width, height, depth, "painted-steel", mounting)
    assert effective_surface(box).value == pytest.approx(surface_m2)
    assert inside_temperature(box, heat_w, 25.0).rise_k == pytest.approx(rise_k, rel=0.005)


def test_surface_of_a_published_cabinet():
    """Calculation sheets of two suppliers of cabinet heaters: free on all sides, 2.0 x 0.8 x 0.6 m, 5.712 m2."""
    assert effective_surface(Enclosure(0.8, 2.0, 0.6, "painted-steel", "free-standing")).value == pytest.approx(5.712)


def test_the_stated_error_covers_published_rises():
    """Handbooks that print a rise over heat per surface, no transfer coefficient: how much warmer than our mean.

    48 x 36 x 16 in with 300 W: 30 °F, https://www.elliottelectric.com (Heat Dissipation in Electrical Enclosures).
    1200 W in 55.6 square feet of surface: 4.08 Q/A + 1.1 °F, and in 85.6 with the width doubled (enclosure_heat F01 and
    F02): height times depth is 12.8 square feet, and the width 15 over height and depth together.
    """
    inch, foot = 0.0254, 0.3048
    box = Enclosure(36 * inch, 48 * inch, 16 * inch, "painted-steel", "free-standing")
    pairs = [(30 / 1.8, inside_temperature(box, 300.0, 25.0).rise_k)]
    for ratio in (1.0, 2.0):
        depth = (12.8 / ratio) ** 0.5
        height = ratio * depth
        for count, area in ((1, 55.6), (2, 85.6)):
            width = count * 15 / (height + depth)
            assert 2 * (width * height + width * depth + height * depth) == pytest.approx(area)
            box = Enclosure(width * foot, height * foot, depth * foot, "painted-steel", "free-standing")
            pairs.append(((4.08 * 1200 / area + 1.1) / 1.8, inside_temperature(box, 1200.0, 25.0).rise_k))
    errors = [printed / ours - 1 for printed, ours in pairs]
    stated = inside_temperature(BOX, 60.0, 35.0)
    share = stated.error_k / stated.rise_k
    assert 0.8 * share <= max(errors) <= share
    assert min(errors) >= -share


def test_no_wall_of_one_sheet_passes_twelve_watts():
    """The 12 W/(m2·K) that some print for aluminium: the metal itself holds back nothing, the air on both sides does.

    Even black walls in free convection pass less than 8 at a rise of 30 K; bare metal (emissivity 0.09 to 0.25) 2 to 4.
    """
    through = {}
    for emissivity in (0.09, 0.25, 0.9, 1.0):
        one_side = 4 * emissivity * 5.67e-8 * 323.0**3 + 1.42 * (15.0 / 0.3) ** 0.25
        through[emissivity] = one_side / 2
    assert through[1.0] < 8.0
    assert through[0.09] < through[0.25] < 4.0
    used = enclosure.heat_transfer("aluminium").value
    assert used <= enclosure.heat_transfer("painted-steel").value
    assert used < through[1.0]


def test_transfer_of_painted_steel_against_convection_and_radiation():
    """Second method: grey radiation 4 e sigma T3 and free convection 1.42 (dT/L)^0.25 (textbook form) on both sides.

    Still air gives 4.3 to 4.4 W/(m2·K); the makers' figure counts on some draught and lies a quarter above it.
    """
    radiation = 4 * 0.9 * 5.67e-8 * 313.0**3
    for rise_k, height_m in ((10.0, 0.5), (20.0, 1.0), (30.0, 2.0)):
        one_side = radiation + 1.42 * (rise_k / 2 / height_m) ** 0.25
        through = 1 / (1 / one_side + 1 / one_side)
        assert enclosure.heat_transfer("painted-steel").value == pytest.approx(through, rel=0.3)


@pytest.mark.parametrize("altitude_m", [0.0, 100.0, 250.0, 500.0, 750.0, 1000.0, 2000.0, 3000.0])
def test_airflow_factor_against_the_density_of_air(altitude_m):
    """Second method: 3600 / (rho cp) at 35 °C with the barometric formula, scale height of air at 15 °C 8435 m."""
    density = 101325.0 * exp(-altitude_m / 8435.0) / (287.05 * 308.15)
    assert enclosure.airflow_factor(altitude_m).value == pytest.approx(3600.0 / (density * 1006.0), rel=0.025)


def test_airflow_that_keeps_a_rise_keeps_it():
    surface = effective_surface(BOX).value
    for altitude in (0.0, 800.0, 2500.0):
        flow = enclosure.needed_airflow(200.0, 5.5, surface, 10.0, altitude)
        assert inside_temperature(BOX, 200.0, 25.0, altitude, flow).rise_k == pytest.approx(10.0)
    assert enclosure.needed_airflow(20.0, 5.5, surface, 10.0) == 0.0


@given(
    heat=st.floats(0, 2000),
    more=st.floats(0, 500),
    altitude=st.floats(0, 4000),
    flow=st.floats(0, 500),
    material=st.sampled_from(MATERIALS),
    mounting=st.sampled_from(MOUNTINGS),
)
def test_inside_temperature_rises_with_heat_and_altitude_and_falls_with_air(
    heat, more, altitude, flow, material, mounting
):
    box = Enclosure(0.6, 0.8, 0.3, material, mounting)
    base = inside_temperature(box, heat, 30.0, altitude, flow)
    assert inside_temperature(box, heat + more, 30.0, altitude, flow).inside_c >= base.inside_c
    assert inside_temperature(box, heat, 30.0, altitude + 500.0, flow).inside_c >= base.inside_c - 1e-9
    assert inside_temperature(box, heat, 30.0, altitude, flow + 50.0).inside_c <= base.inside_c
    assert base.wall_w + base.fan_w == pytest.approx(heat)
    assert base.inside_c >= 30.0


def test_a_larger_or_freer_cabinet_is_cooler():
    free = inside_temperature(Enclosure(0.6, 0.8, 0.3, "plastic", "free-standing"), 50.0, 20.0).rise_k
    row = inside_temperature(Enclosure(0.6, 0.8, 0.3, "plastic", "row-middle-wall-covered"), 50.0, 20.0).rise_k
    assert free < row


def test_what_is_not_tabled_is_said():
    assert isinstance(inside_temperature(Enclosure(0.5, 0.5, 0.2, "wood", "wall"), 10.0, 20.0), NotTabled)
    assert isinstance(inside_temperature(Enclosure(0.5, 0.5, 0.2, "plastic", "buried"), 10.0, 20.0), NotTabled)
    with pytest.raises(ValueError, match="above zero"):
        inside_temperature(Enclosure(0.0, 0.5, 0.2, "plastic", "wall"), 10.0, 20.0)


def test_derating():
    """Data sheets: 20 A to 55 °C and 17.1 A at 70 °C is 0.967 %/K; 4 %/K from 50 °C leaves 60 % at 60 °C."""
    assert enclosure.derated(20.0, 55.0, 0.145 / 15.0, 70.0) == pytest.approx(17.1)
    assert enclosure.derated(100.0, 50.0, 0.04, 60.0) == pytest.approx(60.0)
    assert enclosure.derated(5.0, 50.0, 0.025, 40.0) == 5.0
    assert enclosure.derated(5.0, 50.0, 0.025, 200.0) == 0.0
    assert enclosure.altitude_offset(1500.0).value == 0.0


# --- contacts


@pytest.mark.parametrize(
    ("name", "make", "break_"),
    # IEC 60947-5-1 table 4 and IEC 60947-4-1 table 7; AC-3 and AC-4 from memory
    [("AC-15", 10, 1), ("AC-14", 6, 1), ("DC-13", 1, 1), ("AC-1", 1.5, 1.5), ("AC-3", 10, 8), ("DC-3", 4, 4)],
)
def test_making_and_breaking_of_a_category(name, make, break_):
    assert contacts.making_capacity(2.0, name).value == 2 * make
    assert contacts.category(name).break_.value == break_


def test_category_of_a_load():
    assert contacts.category_for("coil", dc=True) == "DC-13"
    assert contacts.category_for("coil", dc=False, va_or_w=72.0) == "AC-14"
    assert contacts.category_for("coil", dc=False, va_or_w=73.0) == "AC-15"
    assert contacts.category_for("motor", dc=False) == "AC-3"
    assert contacts.category_for("resistive", dc=True) == "DC-1"
    assert isinstance(contacts.category("AC-99"), NotTabled)
    with pytest.raises(ValueError, match="known"):
        contacts.category_for("tea", dc=True)


@pytest.mark.parametrize(
    ("code", "volts", "dc", "amps"),
    # NEMA ICS 5: A300 720 VA, 6 A at 120 V; Q300 0.55 A at 125 V DC, 0.27 A at 250 V DC
    [
        ("A300", 120, False, 6.0),
        ("A300", 240, False, 3.0),
        ("A300", 24, False, 6.0),
        ("Q300", 125, True, 0.55),
        # below 125 V the volt-amperes decide, up to the thermal current: 69/60; 10, 5, 2.5 and 1 A at 5 to 28 V
        ("Q300", 60, True, 1.15),
        ("N300", 24, True, 10),
        ("P300", 24, True, 5),
        ("Q300", 24, True, 2.5),
        ("R300", 24, True, 1),
        # the other codes of the two tables, and the half of a double code that fits
        ("A600", 480, False, 1.5),
        ("A600", 600, False, 1.2),
        ("B600", 480, False, 0.75),
        ("A150", 120, False, 6),
        ("E150", 120, False, 0.3),
        ("N600", 600, True, 0.4),
        ("Q600", 500, True, 0.1),
        ("A600/Q600", 120, False, 6),
        ("A600/Q600", 125, True, 0.55),
        ("Q300 / B300", 240, False, 1.5),
        ("Q300", 250, True, 0.27),
    ],
)
def test_control_contact_code(code, volts, dc, amps):
    """NEMA ICS 5 as two makers' catalogues print it; 138 VA over 125 V is 1.104 A, printed as 1.1."""
    assert contacts.control_contact_current(code, volts, dc).value == pytest.approx(amps, rel=0.03)


def test_control_contact_code_that_does_not_reach():
    assert isinstance(contacts.control_contact_current("A300", 480, False), NotTabled)
    assert isinstance(contacts.control_contact_current("A300", 125, True), NotTabled)
    assert isinstance(contacts.control_contact_current("Q300", 120, False), NotTabled)
    assert isinstance(contacts.control_contact_current("X1", 120, False), NotTabled)
    assert isinstance(contacts.control_contact_current("A150/Q150", 240, False), NotTabled)
    assert isinstance(contacts.control_contact_current("Q600/R300", 700, True), NotTabled)


def test_volt_amperes_of_the_codes_agree_with_their_currents():
    for row in load("na", "contact_rating_codes").rows:
        if row.number_or_none("break_va") is not None:
            assert row.number("break_va") == pytest.approx(row.number("break_120v_a") * 120.0)
            assert row.number("make_va") == pytest.approx(row.number("make_120v_a") * 120.0)
        else:
            assert row.number("dc_va") == pytest.approx(row.number("dc_125v_a") * 125.0, rel=0.02)


def test_release_time_with_a_suppressor():
    """Published factors for a diode: three (a relay maker) and five (another); safe takes five. Varistor up to 5 ms."""
    assert contacts.release_time(0.010, "diode").value == pytest.approx(0.050)
    assert contacts.release_time(0.010, "diode", safe=False).value == pytest.approx(0.030)
    assert contacts.release_time(0.010, "varistor").value == pytest.approx(0.015)
    assert contacts.release_time(0.010, "none").value == pytest.approx(0.010)
    assert isinstance(contacts.release_time(0.010, "magic"), NotTabled)


def test_no_wall_passes_more_heat_than_its_two_films_of_air():
    """Still air at a plate of 0.6 m: 1.42 (10 K / 0.6 m)^0.25 by convection (Holman, Heat Transfer, table 7-2) and
    4 e s T^3 with e = 0.95 at 318 K by radiation, both from memory; two such films in line, with 15 % for rounding.
    """
    film = 1.42 * (10 / 0.6) ** 0.25 + 4 * 0.95 * 5.67e-8 * 318.0**3
    for material in ("painted-steel", "stainless-steel", "aluminium", "plastic"):
        assert enclosure.heat_transfer(material).value <= 1.15 * film / 2
    assert enclosure.heat_transfer("aluminium").value <= enclosure.heat_transfer("painted-steel").value
