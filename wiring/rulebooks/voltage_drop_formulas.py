"""Voltage drop along conductors, and how much of it each book allows."""

from __future__ import annotations

from math import sqrt

from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.tables import load

REACTANCE_OHM_PER_M = tabled("iec", "cable_reactance_default").value / 1000.0
"""Reactance of one conductor of an ordinary cable."""


def dc_drop_v(current_a: float, ohm_per_m: float, length_m: float, conductors: int = 2) -> float:
    """Drop along `conductors` equal conductors in line, V: two for go and return. Ohm's law."""
    return conductors * current_a * ohm_per_m * length_m


def _along(current_a: float, r_ohm: float, x_ohm: float, power_factor: float) -> float:
    if not 0 <= power_factor <= 1:
        raise ValueError(f"a power factor lies between 0 and 1, not at {power_factor:g}")
    return current_a * (r_ohm * power_factor + x_ohm * sqrt(1 - power_factor**2))


def single_phase_drop_v(current_a: float, r_ohm: float, x_ohm: float, power_factor: float) -> float:
    """Drop over go and return, V: 2 I (R cos + X sin); R and X of one conductor, lagging current.

    ValueError for a power factor outside 0..1. Source: IEC 60364-5-52 annex G; leaves out the part at right angles,
    less than 0.1 % of the voltage at drops up to 5 %.
    """
    return 2 * _along(current_a, r_ohm, x_ohm, power_factor)


def three_phase_drop_v(current_a: float, r_ohm: float, x_ohm: float, power_factor: float) -> float:
    """Drop of the line-to-line voltage of a balanced load, V: sqrt(3) I (R cos + X sin). As `single_phase_drop_v`."""
    return sqrt(3) * _along(current_a, r_ohm, x_ohm, power_factor)


def area_for_drop_mm2(
    resistivity_ohm_mm2_per_m: float, length_m: float, current_a: float, drop_v: float, conductors: int = 2
) -> float:
    """Cross-section in mm2 that loses `drop_v` over `conductors` conductors in line. ValueError for no drop at all."""
    if drop_v <= 0:
        raise ValueError("some drop must be allowed: above 0 V")
    return conductors * resistivity_ohm_mm2_per_m * length_m * current_a / drop_v


_LONG_M = 100.0


def drop_limit(book: str, use: str) -> Limit | NotTabled:
    """Largest drop in percent of nominal inside a machine. `use`: "machine" (point of supply to load) or "logic".

    "iec": IEC 60204-1 12.5; "na": the note of NFPA 70 210.19(A); logic: common practice, 3 %.
    """
    if use == "logic":
        return tabled("common", "logic_drop")
    if use != "machine":
        return NotTabled(f"no limit of voltage drop is known for {use!r}")
    return tabled(book, "voltage_drop_max")


def drop_limit_with_feed(book: str, length_m: float) -> Limit:
    """Largest drop in percent of nominal from the board of the building over a feed of a length [m] to a load.

    "iec": IEC 60364-5-52 G.52.1 for the public mains and no lighting, 0.005 % more for each metre beyond 100, half a
    percent at most; "na": the note of NFPA 70 210.19(A).
    """
    if book == "na":
        return tabled("na", "voltage_drop_max")
    [row] = load("iec", "voltage_drop_installation").where(supply="public", load="other")
    more = min(
        row.number("extra_over_100m_percent_per_m") * max(0.0, length_m - _LONG_M), row.number("extra_max_percent")
    )
    return Limit(row.number("limit_percent") + more, "%", row.source)
