"""How cells are charged, and the air that takes their gas away."""

from __future__ import annotations

from math import ceil

from msgspec import Struct

from wiring.rulebooks.citation import Limit, Source
from wiring.rulebooks.tables import TableError, load

#: Air that keeps the hydrogen of a cell below the limit of ignition, m3/h for each mA: dilution 24, 0.42 l of hydrogen
#: for each ampere hour, five times over (IEC 62485-2, 7.2).
_AIR_M3_H_PER_A = 24 * 0.42e-3 * 5


class Charging(Struct, frozen=True):
    """What a cell bears: `cell_v` its nominal voltage, lasting charge between `least` and `most`, a charge that ends at
    `boost`. `highest` is the charging current over the capacity [1/h] that few cells bear.
    """

    cell_v: float
    least: Limit
    most: Limit
    boost: Limit
    highest: Limit


def charging(chemistry: str) -> Charging:
    """How a chemistry is charged, by the practice of makers. TableError for one that the table has not."""
    row = load("common", "batteries").row(chemistry)
    if row is None:
        raise TableError(f"table batteries has no row {chemistry!r}")
    return Charging(
        row.number("cell_v"),
        row.limit("float_least_v"),
        row.limit("float_most_v"),
        row.limit("boost_most_v"),
        row.limit("most_ratio"),
    )


def cells_of(volts: float, chemistry: str) -> int:
    """The cells in series of a battery of that nominal voltage [V]."""
    return ceil(volts / charging(chemistry).cell_v - 1e-6)


def air_for_gas(chemistry: str, cells: int, capacity_ah: float, *, boost: bool) -> tuple[float, Source]:
    """Air [m3/h] that a battery on charge wants: Q = 0.05 n Igas C. Source: IEC 62485-2:2010, 7.2 and table 1."""
    row = load("common", "battery_gas").row(chemistry)
    if row is None:
        raise TableError(f"table battery_gas has no row {chemistry!r}")
    gas_a = row.number("boost_ma" if boost else "float_ma") * 1e-3 * capacity_ah
    return _AIR_M3_H_PER_A * cells * gas_a, row.source
