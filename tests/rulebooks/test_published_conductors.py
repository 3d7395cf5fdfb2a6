"""Worked examples of books and pages for conductors: resistance, drop, ampacity, protective conductors, fault loops.

Each row of tests/data/examples names its source. A function here feeds the inputs of a row to the rulebook and returns
what can be compared; a row or a single value that no function of the rulebooks answers is listed with the reason.
"""

from math import sqrt

import pytest
from published_rows import compare, worked
from solved_drop import dc_drop_v, received_line_v, resistive_load_v, sent_line_v

from wiring.quantities import parse_wire_size
from wiring.rulebooks import conductors, earthing
from wiring.rulebooks.book import NA
from wiring.rulebooks.laying import Laying

FT = 0.3048
CMIL = conductors.MM2_PER_CIRCULAR_MIL
#: A trial area and volts at the end of a trial feeder.
ONE_MM2, LINE_V = 1.0, 400.0


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def awg(label):
    return parse_wire_size(f"{label} AWG")


def first_gauge(area_cmil):
    """First gauge of the book whose area reaches a number of circular mils, within rounding."""
    sizes = NA.standard_sizes()
    return next(size.label for size in sizes if size.area_mm2 / CMIL >= area_cmil * 0.9999)


# --- ampacity: NFPA 70 310.16 with correction, adjustment and terminals of 75 °C unless the row says otherwise


def building_ampacity(size, insulation_c, ambient_c, conductors_together, terminal_c=75.0):
    laying = Laying("conduit", ambient_c, "feed", loaded_conductors=conductors_together, terminal_c=terminal_c)
    return NA.ampacity(awg(size), insulation_c, laying).value


def smallest_gauge(required_a, terminal_c):
    fitting = (
        (size.label, building_ampacity(size.label, 90, 30, 3, terminal_c))
        for size in NA.standard_sizes()
        if size.system == "awg" and size.area_mm2 > awg("15").area_mm2
    )
    return next(pair for pair in fitting if pair[1] >= required_a)


def derated(i):
    ambient_c = celsius(i["ambient_F"]) if "ambient_F" in i else i["ambient_C"]
    return {"ampacity_A": building_ampacity(i["size_awg"], i["insulation_C"], ambient_c, i["ccc"])}


def continuous(i):
    return {"size_awg": smallest_gauge(1.25 * i["continuous_A"] + i["noncontinuous_A"], i["terminal_C"])[0]}


def smallest(i):
    label, ampacity_a = smallest_gauge(i["required_A"], i["terminal_C"])
    return {"size_awg": label, "ampacity_A": ampacity_a}


# --- resistance and drop


def alpha_rise(r_ohm, alpha, at_c, to_c):
    """The same straight line, by the temperature at which it reaches zero."""
    return conductors.resistance_at_c(r_ohm, at_c, to_c, 1 / alpha - at_c)


def bird_alpha0(i):
    zero_c = 1 / i["alpha0_per_K"]
    return {"R_ohm": conductors.resistance_at_c(i["R20_ohm"], 20, i["T_C"], zero_c)}


def long_wire(i):
    r = conductors.solid_resistance_ohm_per_m(i["area_mm2"], i["resistivity_ohm_m"] * 1e6) * i["length_m"]
    return {"resistance_ohm": r, "field_V_per_m": r * i["current_A"] / i["length_m"]}


def ohm_cmil_per_ft(value):
    """Resistivity in ohm mm2/m from ohm circular mil per foot."""
    return value * CMIL / FT


def area_wanted(i):
    rho = ohm_cmil_per_ft(i["rho_ohm_cmil_per_ft"])
    per_m = conductors.solid_resistance_ohm_per_m(ONE_MM2, rho)
    lost = dc_drop_v(i["current_A"], per_m, i["length_oneway_ft"] * FT, conductors=1)
    area_cmil = ONE_MM2 / CMIL * lost / i["drop_per_conductor_V"]
    return {"area_cmil": area_cmil, "size_awg": first_gauge(area_cmil)}


def warm_line(i):
    def load_v(wire_ohm):
        return resistive_load_v(i["supply_V"], wire_ohm, i["R_load_ohm"])

    warm = alpha_rise(i["R_wire20_each_ohm"], i["alpha20_per_K"], 20, i["T_C"])
    each = (i["supply_V"] - load_v(warm)) / 2
    return {"V_load_20C_V": load_v(i["R_wire20_each_ohm"]), "V_load_35C_V": load_v(warm), "V_wire_35C_V": each}


def circular_mil_drop(i):
    def lost(area_cmil):
        per_m = conductors.solid_resistance_ohm_per_m(area_cmil * CMIL, ohm_cmil_per_ft(i["K"]))
        return dc_drop_v(i["current_A"], per_m, i["length_oneway_ft"] * FT)

    thin, thick = lost(i["area10_cmil"]), lost(i["area8_cmil"])
    in_percent = 100 / i["supply_V"]
    return {"drop10_V": thin, "drop10_pct": thin * in_percent, "drop8_V": thick, "drop8_pct": thick * in_percent}


def two_cords(i):
    good, cheap = (dc_drop_v(i["current_A"], i[name], 1, 1) for name in ("R_good_ohm", "R_cheap_ohm"))
    return {
        "drop_good_V": good,
        "drop_cheap_V": cheap,
        "loss_good_W": good * i["current_A"],
        "loss_cheap_W": cheap * i["current_A"],
    }


def three_phase_table(i):
    per_phase = i["mV_per_A_m"] / 1000 * i["length_m"] / sqrt(3)
    lost = LINE_V - received_line_v(LINE_V, [(complex(per_phase), i["current_A"], 1)])
    return {"drop_V": lost, "needed_mV_per_A_m": i["mV_per_A_m"] * i["allowed_drop_V"] / lost}


def heat_of_wire(i):
    area_mm2 = (i["diameter_m"] * 1000) ** 2 * 3.14159265 / 4
    per_m = conductors.solid_resistance_ohm_per_m(area_mm2, i["resistivity_ohm_m"] * 1e6)
    return {"loss_W": i["current_A"] * dc_drop_v(i["current_A"], per_m, i["length_m"], 1)}


def two_load_feeder(i):
    """Both sections one after the other, each with the currents that pass through it."""
    r, x = i["Z_ohm_per_km"]
    i2 = i["hp"] * 746 / i["eff"] / (sqrt(3) * i["V_end_V"] * i["pf2"])
    near, far = i["d1_m"] / 1000, (i["d2_m"] - i["d1_m"]) / 1000
    ohm_per_km = complex(r, x)
    sections = [(ohm_per_km * near, i["I1_A"], i["pf1"]), (ohm_per_km * far, i2, i["pf2"])]
    return {"V_send_line_V": sent_line_v(i["V_end_V"], sections)}


# --- protective conductors and fault loops


def kcmil(number):
    return parse_wire_size(f"{number} kcmil")


def by_ratio(base, required, fitted):
    grown = earthing.enlarged_protective_mm2(base, required, fitted) / CMIL
    return grown, first_gauge(grown)


def kcmil_increase(i):
    base = NA.protective_conductor(kcmil(250), i["ocpd_A"], in_cable=False, location="feed")
    assert base.note == "4 AWG"
    needed, label = by_ratio(awg("4"), kcmil(i["from_kcmil"]), kcmil(i["to_kcmil"]))
    return {"ratio": i["to_kcmil"] / i["from_kcmil"], "needed_cmil": needed, "egc_awg": label}


def awg_increase(i):
    base = NA.protective_conductor(awg(i["from_awg"]), i["ocpd_A"], in_cable=False, location="feed")
    assert base.note == f"{i['egc_awg_base']} AWG"
    needed, label = by_ratio(awg(i["egc_awg_base"]), awg(i["from_awg"]), awg(i["to_awg"]))
    return {"needed_cmil": needed, "egc_awg": label}


WORKED = {
    "ampacity": {
        "B01": derated, "B02": derated, "B03": derated, "B04": derated, "B05": continuous, "B06": smallest,
        "B07": smallest,
    },
    "resistance_voltage_drop": {
        "A01": lambda i: {"R_ohm": alpha_rise(i["R20_ohm"], i["alpha20_per_K"], 20, i["T_C"])},
        "A02": bird_alpha0,
        "A04": long_wire,
        "A05": area_wanted,
        "A07": warm_line,
        "A08": lambda i: {
            "resistance_ohm": dc_drop_v(1, i["ohm_per_kft"] / conductors.M_PER_KFT, i["length_ft"] * FT, 1)
        },
        "A09": circular_mil_drop,
        "A10": lambda i: {"drop_V": dc_drop_v(i["current_A"], i["mV_per_A_m"] / 1000, i["length_m"], 1)},
        "A11": three_phase_table,
        "A14": two_cords,
    },
    "protective_conductor": {"D03": kcmil_increase, "D04": awg_increase},
    "disagreements": {"X01": heat_of_wire, "X02": derated, "X04": two_load_feeder},
}  # fmt: skip

_BY_PLAN = "through the check, tests/rules/test_published_plans.py, or with its reason there"
NOT_COVERED = {
    **dict.fromkeys(("A06", "D01", "D02", "X03"), _BY_PLAN),
    "A03": "adds strand areas; a plan names the size of a conductor, not its strands",
    "A12": "a network of two loads: the solver, not a formula of the rulebooks",
    "A13": "an evenly loaded distributor: no such line exists in a machine",
}
NOT_COVERED_VALUES = {
    "A04": {"current_density_A_per_m2": "a quotient no rule asks for"},
    "B04": {"next_standard_A": "240.4(B) belongs to the overcurrent rules"},
    "B05": {"min_ampacity_A": "the 125 % of a continuous load belongs to the overcurrent rules"},
}


@pytest.mark.parametrize(("group", "row"), [(group, row) for group in WORKED for row in WORKED[group]])
def test_worked_example(group, row):
    example = worked(group)[row]
    found = WORKED[group][row](example.inputs)
    asked = {name: value for name, value in found.items() if name in example.expected}
    compare(example, asked, NOT_COVERED_VALUES.get(row, ()))


@pytest.mark.parametrize("group", WORKED)
def test_every_worked_row_is_covered_or_given_a_reason(group):
    left = {row for row in NOT_COVERED if row in worked(group)}
    assert WORKED[group].keys() | left == worked(group).keys()
    assert not WORKED[group].keys() & left
