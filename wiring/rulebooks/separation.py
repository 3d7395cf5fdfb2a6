"""Distance between cables that disturb and cables that listen."""

from __future__ import annotations

from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.tables import load


def separation(first: str, second: str, divider: str = "none") -> Limit | NotTabled:
    """Smallest distance of a parallel run in mm, in either order.

    "screened" or "unscreened" with "power", "data" or "motor", or "signal"; `divider` none, aluminium or steel.
    Source: EN 50174-2:2000 table 1 for 50/60 Hz power without transients; motor cables of inverters and signals in
    general: common practice, where drive makers ask for 100 to 300 mm.
    """
    table = load("common", "cable_separation")
    for pair in ((first, second), (second, first)):
        for kind in (divider, "any"):
            row = table.row(*pair, kind)
            if row:
                return row.limit("distance_mm")
    return NotTabled(f"no distance is tabled between {first} and {second} with divider {divider}")
