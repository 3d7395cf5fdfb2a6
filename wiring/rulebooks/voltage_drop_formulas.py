"""How much voltage each book lets conductors lose."""

from __future__ import annotations

from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.tables import load

REACTANCE_OHM_PER_M = tabled("iec", "cable_reactance_default").value / 1000.0
"""Reactance of one conductor of an ordinary cable."""


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
