"""Protective conductors: their size by the line, by the device ahead, by the fault; loop impedance and times."""

from __future__ import annotations

from math import log, sqrt

from wiring.quantities import WireSize
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.conductors import gauge_size
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.tables import Row, load

#: A time up to which heat stays in the conductor, so that k2S2 may be compared with the Joule integral [s].
ADIABATIC_HEATING_MAX_S = tabled("common", "adiabatic_time").value
#: Line voltage by the root of three is this near the printed voltage to earth (400 V gives 230.94 V, 0.41 %).
_NOMINAL_WITHIN = 0.005
_FAMILIES = {
    "thermoplastic": ("pvc", "MTW", "TW", "THW", "THHN", "THWN", "TFFN"),
    "thermoset": ("xlpe", "XHHW", "RHH", "RHW"),
    "rubber": ("rubber",),
    "silicone": ("silicone",),
}
_FINAL_C = {"thermoplastic": 160.0, "thermoset": 250.0, "rubber": 200.0, "silicone": 350.0}
_ICEA = Source("ICEA P-32-382", "", "thermoplastic to 150 °C, thermoset to 250 °C", Standing.FROM_MEMORY)
_A544 = Source("IEC 60364-5-54", "2011", "table A.54.4", Standing.COMPUTED)


def protective_by_line(line: WireSize, in_cable: bool, location: str, protected: bool = True) -> Limit | NotTabled:
    """Smallest protective conductor for a line, mm2 of copper: S to 16 mm2, 16 to 35 mm2, then S/2.

    A separate one outside cable and enclosure is 2.5 mm2 at least, 4 mm2 when nothing protects it from blows.
    Source: IEC 60204-1:2016 table 1, IEC 60364-5-54:2011 table 54.2 and 543.1.3.
    """
    row = load("iec", "protective_conductor").band("line", "mm2", line.area_mm2)
    if row is None:
        return NotTabled(f"no protective conductor is tabled for a line of {line.text}")
    rule = row.text("rule")
    area = {"same": line.area_mm2, "half": line.area_mm2 / 2}.get(rule) or row.number("minimum_mm2")
    words = {"same": "as large as the line", "half": "half of the line"}.get(rule, "")
    if in_cable or location == "enclosure":
        return Limit(area, "mm2", row.source, words)
    return _at_least_separate(Limit(area, "mm2", row.source, words), protected)


def _at_least_separate(by_line: Limit, protected: bool) -> Limit:
    case = "separate, mechanically protected" if protected else "separate, not protected"
    row = load("iec", "protective_conductor_separate").row(case)
    if row is None or row.number("minimum_mm2") <= by_line.value:
        return by_line
    return row.limit("minimum_mm2", case)


def _by_device(device_a: float, location: str, in_cable: bool) -> tuple[Row, WireSize] | None:
    if location == "feed":
        row = load("na", "protective_conductor_building").at_or_above("device_max_a", device_a)
        return (row, gauge_size(row.text("system"), row.text("size"))) if row else None
    core = load("na", "protective_conductor_in_cable").at_or_above("device_max_a", device_a) if in_cable else None
    row = core or load("na", "protective_conductor").at_or_above("device_max_a", device_a)
    return (row, gauge_size("awg", row.text("size_awg"))) if row else None


def protective_by_device(device_a: float, line: WireSize, in_cable: bool, location: str) -> Limit | NotTabled:
    """Smallest equipment grounding conductor behind a device of that rating, mm2 of its gauge, never above the line.

    `location` "feed" takes NFPA 70 table 250.122, any other NFPA 79 table 8.2.2.3, where a core may be smaller.
    """
    found = _by_device(device_a, location, in_cable)
    if found is None:
        return NotTabled(f"no equipment grounding conductor is tabled behind {device_a:g} A")
    row, size = found
    if size.area_mm2 > line.area_mm2:
        note = f"{size.text} by the table, but never larger than the circuit conductors: {line.text}"
        return Limit(line.area_mm2, "mm2", row.source, note)
    return Limit(size.area_mm2, "mm2", row.source, size.text)


def protective_conductor(
    book: str, line: WireSize, device_a: float | None, *, in_cable: bool, location: str, protected: bool = True
) -> Limit | NotTabled:
    """Smallest protective conductor in mm2: by the line in "iec", by the device ahead in "na".

    `location` "enclosure", "machine" or "feed"; `device_a` the rating ahead, None unknown; `protected` from blows.
    """
    if book == "iec":
        return protective_by_line(line, in_cable, location, protected)
    if device_a is None:
        return NotTabled("the rating of the overcurrent device ahead is missing")
    return protective_by_device(device_a, line, in_cable, location)


def enlarged_protective_mm2(protective: WireSize, required_line: WireSize, fitted_line: WireSize) -> float:
    """Area of the equipment grounding conductor when the line was enlarged, mm2: in proportion (NFPA 70 250.122(B)).

    Never below the size of the table. Areas are those of the gauges, within 0.6 % of chapter 9 table 8.
    """
    return protective.area_mm2 * max(1.0, fitted_line.area_mm2 / required_line.area_mm2)


def adiabatic_k(initial_c: float, final_c: float) -> float:
    """Material factor of copper, A·s^0.5/mm2: 226 sqrt(ln(1 + (Tf - Ti)/(234.5 + Ti))).

    ValueError unless final > initial > -234.5 °C. Source: IEC 60364-5-54 annex A.
    """
    if not final_c > initial_c > -234.5:
        raise ValueError("the final temperature must be above the initial one")
    return 226 * sqrt(log(1 + (final_c - initial_c) / (234.5 + initial_c)))


def insulation_family(insulation: str) -> str | None:
    """Thermoplastic, thermoset, rubber or silicone for a word of insulation; None when its final heat is not known."""
    for family, words in _FAMILIES.items():
        if insulation.startswith(words):
            return family
    return None


def k_factor(book: str, insulation: str, insulation_c: float, area_mm2: float = 1.0) -> Limit | NotTabled:
    """Material factor k of a loaded copper conductor with that insulation, from its highest working temperature.

    Source: IEC 60364-4-43 table 43A, 60364-5-54 table A.54.4; "na": end temperatures of ICEA P-32-382 in the formula.
    """
    family = insulation_family(insulation)
    if family is None:
        return NotTabled(f"the temperature that {insulation} bears in a short circuit")
    if book == "na":
        final = 150.0 if family == "thermoplastic" else _FINAL_C[family]
        return Limit(adiabatic_k(insulation_c, final), "A·s^0.5/mm2", _ICEA)
    row = load("iec", "adiabatic_k").band("area", "mm2", area_mm2, use="in-cable", insulation=insulation)
    if row:
        return row.limit("k_a_sqrt_s_per_mm2")
    final = 140.0 if family == "thermoplastic" and area_mm2 > 300 else _FINAL_C[family]
    return Limit(adiabatic_k(insulation_c, final), "A·s^0.5/mm2", _A544)


def nominal_to_earth_v(u0_v: float) -> float:
    """The nominal voltage to earth that a computed one stands for, V: 400 V between lines is 230 V, not 230.94 V.

    A voltage further than 0.5 % from every nominal one is returned as it is. Source: IEC 60038 table 1.
    """
    nominal = (row.number("line_to_earth_v") for row in load("iec", "nominal_voltages").rows)
    return next((volts for volts in nominal if abs(u0_v - volts) <= _NOMINAL_WITHIN * volts), u0_v)


def disconnection_time(system: str, kind: str, u0_v: float, final_a: float | None = None) -> Limit | NotTabled:
    """Longest time to disconnect, s. `system` TN, TN-S, TN-C-S or TT; `kind` "ac" or "dc"; U0 to earth in V.

    `final_a` is the rating of a final circuit of fixed equipment: above 32 A, 5 s in TN and 1 s in TT. The table's
    times are used when it is not known. U0 is a nominal voltage: see `nominal_to_earth_v`.
    Source: IEC 60364-4-41 table 41.1, 411.3.2.
    """
    u0_v = nominal_to_earth_v(u0_v)
    earthing = "TN" if system.startswith("TN") else system
    if final_a is not None and final_a > 32 and u0_v > 50:
        distribution = load("iec", "disconnection_times_distribution").row(earthing)
        if distribution:
            return distribution.limit("time_s", "fixed equipment above 32 A")
    row = load("iec", "disconnection_times").band("u0", "v", u0_v, system=earthing, current_kind=kind)
    if row is None:
        return NotTabled(f"no time is tabled for {u0_v:g} V {kind.upper()} to earth in a {system} system")
    return row.limit("time_s", row.text("note"))
