"""Wires against published figures: gauges, resistance classes currents, table 8, separation, earth wires.

Rows of tests/data/examples/motion.csv name their source; sections 5 and 8 of it are about wires and noise.
"""

from math import pi, sqrt

import pytest
from published_rows import compare, motion, table
from solved_drop import dc_drop_v

from wiring.quantities import parse_wire_size
from wiring.rulebooks import ampacity_iec, conductors
from wiring.rulebooks.limits import limit
from wiring.rulebooks.separation import separation
from wiring.rulebooks.tables import load

CMIL = conductors.MM2_PER_CIRCULAR_MIL


def awg(label):
    return parse_wire_size(f"{label} AWG")


def free_air_factor(i):
    return ampacity_iec.sqrt_factor(i["T_ins_C"], i["T_air_C"], i["T_ins_C"], i.get("T_ref_C", 30))


def back_to_20c(i):
    """The page's rule 1/(1 + 0.004 (T - 20)) is the line that reaches zero at 20 - 1/0.004 = -230 °C."""
    return 1 / conductors.resistance_at_c(1, 20, i["T_C"], 1 / 0.004 - 20)


def round_wire(gauge):
    return conductors.solid_resistance_ohm_per_m(awg(gauge).area_mm2) * 1000


def gauge_diameter_mm(gauge):
    return sqrt(4 / pi * awg(gauge).area_mm2)


def class_5(i):
    size = parse_wire_size(f"{i['csa_mm2']} mm2")
    return conductors.resistance_20c(size, "5", "plain").value * 1000


def reinforced(i):
    name = {"machine": "leakage_extra_measures_above", "drive": "leakage_drive_above"}[i["rule"]]
    return i["leak_mA"] > limit("iec", name).value


MOTION = {
    **{f"M{n:03}": lambda i: gauge_diameter_mm(i["awg"]) for n in range(85, 91)},
    **{f"M{n:03}": lambda i: round_wire(i["awg"]) for n in (91, 92, 93)},
    "M095": lambda i: conductors.resistance_at_c(i["R20"], 20, i["T_C"], 1 / i["alpha"] - 20),
    "M096": lambda i: dc_drop_v(i["I_A"], i["ohm_per_km"] / 1000, i["L_oneway_m"]),
    "M097": lambda i: dc_drop_v(i["I_motor_A"], i["R_shared_ohm"], 1, 1),
    "M099": lambda i: dc_drop_v(i["I_each_A"], i["R_branch_round_trip_ohm"], 1, 1),
    "M105": free_air_factor,
    "M106": free_air_factor,
    **{f"M{n}": reinforced for n in (135, 136, 137)},
    **{f"M{n}": lambda i: separation(i["a"], i["b"], i["divider"]).value for n in (140, 141)},
    **{f"M{n}": class_5 for n in (156, 157, 158, 159)},
    **{f"M{n}": back_to_20c for n in (160, 161, 162)},
}
MOTION_NOT_COVERED = {
    **{
        f"M{n}": "connected appliances: a machine's protective conductors are held to their own resistance"
        for n in (138, 139)
    },
    "M094": "700 circular mils per ampere is a rule of thumb that no rulebook has",
    "M098": "a daisy chain of loads: the solver",
    **{f"M{n}": "when a bare wire melts, far beyond what any check allows" for n in range(100, 105)},
    "M107": "a free-air ampacity table of one cable maker, which neither rulebook uses",
    "M108": "a fitted heat transfer of a single wire, which neither rulebook uses",
    "M109": "loss of a contact: a part, not a conductor",
    "M163": "resistance of a clamp: a part, not a conductor",
}


@pytest.mark.parametrize("row", MOTION)
def test_motion_example(row):
    example = motion({"5", "8"})[row]
    (name,) = example.expected
    compare(example, {name: MOTION[row](example.inputs)})


def test_every_motion_row_of_these_sections_is_covered_or_given_a_reason():
    rows = motion({"5", "8"})
    assert MOTION.keys() | MOTION_NOT_COVERED.keys() == rows.keys()
    assert not MOTION.keys() & MOTION_NOT_COVERED.keys()


def test_gauges_against_published_diameters_and_resistances():
    """ASTM B258 gauges 30 to 16 as a public table (wp.1728.org) prints them, ohm to four digits.

    Diameters are rounded there from five to four decimals of an inch, the second rounding of the same figure:
    0.025347 over 0.02535 to 0.0254. So each may be off by 0.00005 and half a unit of the fifth decimal.
    """
    rows = [row for row in table("awg_b258") if row["published_diameter_in"]]
    assert len(rows) == 15
    for row in rows:
        size = awg(row["size_awg"])
        inches = gauge_diameter_mm(row["size_awg"]) / 25.4
        assert abs(inches - float(row["published_diameter_in"])) <= 0.000055
        per_kft = conductors.solid_resistance_ohm_per_m(size.area_mm2) * conductors.M_PER_KFT
        assert per_kft == pytest.approx(float(row["published_20c_ohm_per_kft"]), rel=0.0015)


def test_table_8_is_the_geometry_of_b258():
    """Areas and solid resistances of NFPA 70 table 8 follow ASTM B258 and 100 % IACS copper at 75 °C within 1.5 %."""
    for row in load("na", "conductor_properties").where(system="awg", construction="solid"):
        size = awg(row.text("size"))
        assert row.number("area_mm2") == pytest.approx(size.area_mm2, rel=0.006)
        assert row.number("area_circular_mils") == pytest.approx(size.area_mm2 / CMIL, rel=0.006)
        hot = conductors.solid_resistance_ohm_per_m(size.area_mm2) * (1 + 0.00393 * 55) * conductors.M_PER_KFT
        assert row.number("resistance_75c_ohm_per_kft") == pytest.approx(hot, rel=0.015)
