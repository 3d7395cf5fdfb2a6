"""Copper conductors: sizes and their order, geometry of gauges, resistance and how it follows temperature.

Resistance is a property of the metal, so a size is looked up in the tables of its own system whatever the rulebook:
mm2 in IEC 60228, AWG and kcmil in NFPA 70 chapter 9 table 8 and, below 18 AWG, from ASTM B258.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from math import pi

from wiring.quantities import WireSize, parse_wire_size
from wiring.rulebooks.answers import NotTabled, weakest
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import SOLD_MM2
from wiring.rulebooks.tables import Row, load

COPPER_ZERO_C = tabled("common", "copper_zero").value
"""Temperature below zero at which the resistance of copper would vanish on a straight line."""
COPPER_OHM_MM2_PER_M = tabled("common", "copper_resistivity").value
"""Resistivity of copper at 20 °C."""
ALPHA_75_PER_K = tabled("common", "copper_coefficient_75c").value
"""Temperature coefficient of copper at 75 °C."""
STRANDING = tabled("common", "strand_lay").value
"""Length of strands over length of wire."""
M_PER_KFT = 304.8
MM2_PER_CIRCULAR_MIL = pi / 4 * 0.0254**2
_CLASSES = {"1": "1-2", "2": "1-2", "5": "5-6", "6": "5-6"}


def gauge_size(system: str, label: str) -> WireSize:
    """The size of a table's cell: system "awg", "kcmil" or "mm2", label as printed there."""
    return parse_wire_size(f"{label} {'AWG' if system == 'awg' else system}")


def resistance_at_c(resistance_ohm: float, at_c: float, to_c: float, zero_c: float = COPPER_ZERO_C) -> float:
    """Resistance at `to_c` of a conductor that has `resistance_ohm` at `at_c`: R2 = R1 (zero + T2) / (zero + T1).

    °C above -zero_c; ValueError below. Source: IEC 60228 annex, IEC 60287; `zero_c` = 1/alpha0 for another alpha.
    """
    if at_c <= -zero_c or to_c <= -zero_c:
        raise ValueError(f"a conductor is never at or below {-zero_c:g} °C here")
    return resistance_ohm * (zero_c + to_c) / (zero_c + at_c)


def solid_resistance_ohm_per_m(area_mm2: float, resistivity_ohm_mm2_per_m: float = COPPER_OHM_MM2_PER_M) -> float:
    """R/l = rho/A in ohm/m; area in mm2 above 0, at the temperature of the resistivity. ValueError for no area."""
    if area_mm2 <= 0:
        raise ValueError("a conductor has a cross-section above 0")
    return resistivity_ohm_mm2_per_m / area_mm2


def loaded_temperature_c(current_a: float, ampacity_a: float, ambient_c: float, rated_c: float) -> float:
    """Temperature of a conductor from its load: T = Ta + (Tr - Ta) (I/Iz)^2, °C.

    `ampacity_a` Iz is the current that brings it from `ambient_c` to `rated_c`; ValueError when Iz is not above 0.
    Source: heat is proportional to I^2 and rise to heat, as the ambient factors of IEC 60364-5-52 B.52.14 assume.
    The growth of resistance with temperature is left out, which errs towards hot below rated current.
    """
    if ampacity_a <= 0:
        raise ValueError("the ampacity must be above 0")
    return ambient_c + (rated_c - ambient_c) * (current_a / ampacity_a) ** 2


#: How far the cross-section of a gauge may be off as makers print it.
_PRINTED = 0.015


@cache
def ladder(book: str) -> tuple[WireSize, ...]:
    """The sizes a book knows, thin to thick: mm2 of IEC 60228 for "iec", AWG and kcmil for "na"."""
    if book == "iec":
        labels = dict.fromkeys(row.text("size_mm2") for row in load("iec", "resistance_20c").rows)
        return tuple(gauge_size("mm2", label) for label in labels)
    rows = load("na", "ampacity_machine").rows
    labels_na = dict.fromkeys((row.text("system"), row.text("size")) for row in rows)
    return tuple(gauge_size(system, label) for system, label in labels_na)


def smallest_size(book: str, holds: Callable[[WireSize], bool]) -> WireSize | None:
    """The thinnest size of the book's ladder for which a condition holds; None where none is thick enough."""
    return next((size for size in ladder(book) if holds(size)), None)


@cache
def is_sold(size: WireSize) -> bool:
    """Whether a size is one of IEC 60228 and the thin ones below it, a gauge, also in mm2, or sold besides."""
    known = [step.area_mm2 for book in ("iec", "na") for step in ladder(book)]
    return size.system != "mm2" or any(abs(size.area_mm2 - area) <= _PRINTED * area for area in (*known, *SOLD_MM2))


def largest_not_above(size: WireSize, sizes: tuple[WireSize, ...]) -> WireSize | None:
    """Of `sizes`, the thickest whose area is not above that of `size`; None when all are thicker."""
    fitting = [step for step in sizes if step.area_mm2 <= size.area_mm2 * (1 + 1e-9)]
    return max(fitting, key=lambda step: step.area_mm2, default=None)


def exchange_note(size: WireSize, judged_as: WireSize) -> str:
    """The sentence a limit carries when a size was judged as another one; "" when it was not."""
    if (size.system, size.label) == (judged_as.system, judged_as.label):
        return ""
    return f"{size.text} ({size.area_mm2:.3g} mm2) is judged as {judged_as.text}, the next smaller size of the table"


@cache
def resistance_20c(size: WireSize, conductor_class: str = "5", plating: str = "plain") -> Limit | NotTabled:
    """Highest resistance of a mm2 conductor at 20 °C in ohm/m; class "1", "2", "5", "6"; plating "plain" or "tinned".

    A size between the table's takes the resistivity of the next smaller one. Source: IEC 60228:2004, DIN VDE 0295.
    """
    rows = load("iec", "resistance_20c").where(conductor_class=_CLASSES[conductor_class], plating=plating)
    sizes = tuple(gauge_size("mm2", row.text("size_mm2")) for row in rows)
    below = largest_not_above(size, sizes)
    if below is None:
        return NotTabled(f"no resistance of class {conductor_class} is tabled for {size.text} or less")
    row = rows[sizes.index(below)]
    per_m = row.number("resistance_ohm_per_km") / 1000 * below.area_mm2 / size.area_mm2
    if below.label == size.label:
        return Limit(per_m, "ohm/m", row.source)
    note = f"from {below.text} by area"
    return Limit(per_m, "ohm/m", weakest(row.source, computed=True), note)


def _gauge_row(size: WireSize, solid: bool) -> Row | None:
    table = load("na", "conductor_properties")
    wanted = ("solid", "stranded") if solid else ("stranded",)
    rows = (table.row(size.system, size.label, construction) for construction in wanted)
    return next((row for row in rows if row), None)


_B258 = Source("ASTM B258", "", "definition of the gauge", Standing.COMPUTED)


def resistance_75c(size: WireSize, conductor_class: str = "5") -> Limit:
    """Resistance of an AWG or kcmil conductor at 75 °C in ohm/m; class "1" is solid, any other stranded.

    Source: NFPA 70 chapter 9 table 8; where it has no row, area by ASTM B258 and 2 % more length for strands.
    """
    solid = conductor_class == "1"
    row = _gauge_row(size, solid)
    if row:
        return Limit(row.number("resistance_75c_ohm_per_kft") / M_PER_KFT, "ohm/m", row.source)
    at_20c = solid_resistance_ohm_per_m(size.area_mm2) * (1.0 if solid else STRANDING)
    return Limit(at_20c * (1 + 0.00393 * 55), "ohm/m", _B258, "2 % added for strands" if not solid else "")


def resistance_ohm_per_m(size: WireSize, conductor_class: str = "5", temperature_c: float = 20.0) -> Limit | NotTabled:
    """Resistance of one conductor at a temperature in ohm/m, the larger where tables leave a choice.

    Below 0.5 mm2 that is the tinned value: the source does not say which of its two figures belongs to which.
    Source: IEC 60228 with (234.5 + T); NFPA 70 chapter 9 table 8 with 0.00323 per K from 75 °C.
    """
    if size.system == "mm2":
        base = resistance_20c(size, conductor_class, "tinned" if size.area_mm2 < 0.4999 else "plain")
        if isinstance(base, NotTabled):
            return base
        return Limit(resistance_at_c(base.value, 20, temperature_c), "ohm/m", base.source, base.note)
    hot = resistance_75c(size, conductor_class)
    value = hot.value * (1 + ALPHA_75_PER_K * (temperature_c - 75))
    return Limit(value, "ohm/m", hot.source, hot.note)
