"""The highest temperature that each insulation lets its conductor reach in a dry place."""

from __future__ import annotations

from functools import cache
from types import MappingProxyType

from wiring.rulebooks.citation import Limit
from wiring.rulebooks.tables import TableError, load

#: What is taken where a plan names none, by rulebook: the lowest in common use.
ASSUMED = MappingProxyType({"iec": "pvc-70", "na": "TW"})


@cache
def highest_temperature(insulation: str) -> Limit:
    """Highest conductor temperature of an insulation by its word in a plan [°C]; TableError for an unknown one.

    Source: table insulation.
    """
    row = load("common", "insulation").row(insulation)
    if row is None:
        raise TableError(f"no temperature is tabled for the insulation {insulation!r}")
    return row.limit("highest_c", insulation)
