"""How much room conductors take, and how full a duct or conduit may be."""

from __future__ import annotations

from math import pi

from wiring.quantities import WireSize
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.conductors import gauge_size
from wiring.rulebooks.tables import Row, load

WAYS = ("duct", "conduit")


def outer_diameter(size: WireSize) -> Limit | NotTabled:
    """Outer diameter of an insulated single wire [mm], the thickest in common use.

    A size between the table's takes that of the next thicker one. Source: EN 50525-2-31 for mm2, NFPA 70 chapter 9
    table 5 for gauges, both from memory; common practice for the thinnest.
    """
    metric = size.system == "mm2"
    table = load("iec", "outer_diameter") if metric else load("na", "outer_diameter")
    key, system = ("size_mm2", "mm2") if metric else ("size_awg", "awg")
    rows = ((gauge_size(system, row.text(key)).area_mm2, row) for row in table.rows)
    fitting: list[tuple[float, Row]] = [entry for entry in rows if entry[0] >= size.area_mm2 * (1 - 1e-6)]
    if not fitting:
        return NotTabled(f"no outer diameter is tabled for {size.text}")
    row = min(fitting, key=lambda entry: entry[0])[1]
    return row.limit("outer_mm", row.text("note"))


def round_area_mm2(diameter_mm: float) -> float:
    """Area of a circle [mm2]; the diameter not below zero. Geometry."""
    return pi / 4 * diameter_mm**2


def fill_limit(book: str, way: str, conductors: int = 3) -> Limit | NotTabled:
    """Share of the inner section that conductors and cables may take [%]. `way` "duct" or "conduit".

    `conductors` 1 or more: table 1 of NFPA 70 chapter 9 allows one, two and more conductors in a conduit differently.
    """
    row = load("common", "fill").at_or_below("conductors_from_count", conductors, book=book, way=way)
    return row.limit("fill_max_percent", row.text("note")) if row else NotTabled(f"no filling of a {way} is tabled")
