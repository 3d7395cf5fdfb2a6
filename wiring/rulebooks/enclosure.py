"""Heat in a closed cabinet: cooling surface, rise, filter fan, and what the heat takes from a device's rating.

The simple rule of the trade: heat leaves through the effective surface of IEC TR 60890 with a constant transfer
coefficient of the wall. The curves of the full method of IEC TR 60890 (factors k, c, d) are not at hand, so the rise is
one mean figure with the error that published cabinets show; the air below the roof is hotter still, and openings
without a fan are not counted.
"""

from __future__ import annotations

from msgspec import Struct

from wiring.parts.ranges import above_zero, not_negative
from wiring.rulebooks.answers import NotTabled, weakest
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.tables import TableError, load

_THIN_AIR_RISE, _THIN_AIR_FROM = tabled("common", "thin_air_rise"), tabled("common", "thin_air_from")
_RISE = Source("IEC TR 60890", "2014", "effective cooling surface, dT = P / (k A)", Standing.COMPUTED)
#: How much higher than the mean the rise of published cabinets is, as a share of it.
_MEAN_ERROR = tabled("common", "cabinet_mean_error")
#: Pressure of the standard atmosphere by altitude, 1 at sea level (ISO 2533).
_LAPSE_PER_M, _PRESSURE_POWER = 2.25577e-5, 5.25588
_HIGHEST_TABLED_M = 1000.0


class Enclosure(Struct, frozen=True):
    """A cabinet: outer sizes [m], `material` and `mounting` as in a plan (painted-steel, wall ...)."""

    width_m: float
    height_m: float
    depth_m: float
    material: str
    mounting: str


class InsideTemperature(Struct, frozen=True):
    """Temperature of the air in a cabinet [°C], its rise [K], and the heat that leaves by wall and by fan [W].

    `error_k` is how much warmer than this mean published cabinets are at most [K].
    """

    inside_c: float
    rise_k: float
    wall_w: float
    fan_w: float
    limit: Limit
    error_k: float


def effective_surface(enclosure: Enclosure) -> Limit | NotTabled:
    """Surface that gives off heat [m2], each face weighed by its place; sizes above zero, ValueError otherwise.

    NotTabled for an unknown mounting. Source: IEC TR 60890, table enclosure_mounting.
    """
    above_zero(width_m=enclosure.width_m, height_m=enclosure.height_m, depth_m=enclosure.depth_m)
    row = load("common", "enclosure_mounting").row(enclosure.mounting)
    if row is None:
        return NotTabled(f"no cooling surface is tabled for a cabinet mounted {enclosure.mounting!r}")
    area_m2 = (
        row.number("front_factor") * enclosure.height_m * enclosure.width_m
        + row.number("side_factor") * enclosure.height_m * enclosure.depth_m
        + row.number("top_factor") * enclosure.width_m * enclosure.depth_m
    )
    return Limit(area_m2, "m2", row.source)


def heat_transfer(material: str) -> Limit | NotTabled:
    """Heat through one square metre of wall per kelvin [W/(m2·K)], the lower figure where sources disagree."""
    row = load("common", "enclosure_material").row(material)
    if row is None:
        return NotTabled(f"no heat transfer is tabled for a cabinet of {material!r}")
    return row.limit("transfer_w_per_m2_k", row.text("note"))


def highest_inside(devices: str) -> Limit:
    """Highest air temperature in a cabinet [°C] for a group of devices: "electronic".

    TableError for another group. Source: table cabinet_air, common practice.
    """
    row = load("common", "cabinet_air").row(devices)
    if row is None:
        raise TableError(f"no air temperature is tabled for {devices!r}")
    return row.limit("highest_c", row.text("note"))


def airflow_factor(altitude_m: float) -> Limit:
    """Air flow that removes one watt at one kelvin of rise [m3·K/(W·h)], not below sea level.

    The table ends at 1000 m; above, the figure for 1000 m grows as the pressure of the standard atmosphere falls.
    Raises ValueError below zero. Source: table fan_airflow; ISO 2533 above it.
    """
    not_negative(altitude_m=altitude_m)
    table = load("common", "fan_airflow")
    row = table.band("altitude", "m", altitude_m)
    if row is not None:
        return row.limit("airflow_m3_k_per_wh")
    last = table.rows[-1]
    factor = last.number("airflow_m3_k_per_wh") * _pressure(_HIGHEST_TABLED_M) / _pressure(altitude_m)
    return Limit(factor, "m3·K/(W·h)", weakest(last.source, computed=True), "computed from the table's last row")


def _pressure(altitude_m: float) -> float:
    above_zero(rest=1.0 - _LAPSE_PER_M * altitude_m)
    return float((1.0 - _LAPSE_PER_M * altitude_m) ** _PRESSURE_POWER)


def needed_airflow(
    heat_w: float, transfer_w_per_m2_k: float, surface_m2: float, rise_k: float, altitude_m: float = 0.0
) -> float:
    """Air flow that keeps a rise [m3/h], zero when the walls do it; rise above zero, ValueError otherwise.

    Source: V = f (P - k A dT) / dT.
    """
    above_zero(rise_k=rise_k)
    not_negative(heat_w=heat_w)
    return airflow_factor(altitude_m).value * max(0.0, heat_w - transfer_w_per_m2_k * surface_m2 * rise_k) / rise_k


def inside_temperature(
    enclosure: Enclosure, heat_w: float, ambient_c: float, altitude_m: float = 0.0, fan_m3_h: float = 0.0
) -> InsideTemperature | NotTabled:
    """Mean air temperature in a cabinet [°C] for its heat [W] and the air around it [°C].

    `fan_m3_h` delivered flow with the filter in place, 0 for a sealed cabinet. Heat, altitude and flow not negative;
    ValueError otherwise. NotTabled for an unknown material or mounting.
    Source: P = (k A + V / f) dT, IEC TR 60890 for A.
    """
    not_negative(heat_w=heat_w, fan_m3_h=fan_m3_h)
    surface, transfer = effective_surface(enclosure), heat_transfer(enclosure.material)
    if isinstance(surface, NotTabled):
        return surface
    if isinstance(transfer, NotTabled):
        return transfer
    factor = airflow_factor(altitude_m)
    wall_w_per_k, fan_w_per_k = transfer.value * surface.value, fan_m3_h / factor.value
    rise_k = heat_w / (wall_w_per_k + fan_w_per_k)
    sources = (surface.source, transfer.source, factor.source) if fan_m3_h else (surface.source, transfer.source)
    error_k = _MEAN_ERROR.value * rise_k
    note = f"mean of the cabinet, up to {error_k:.2g} K more by published cabinets; the air below its roof is hotter"
    limit = Limit(ambient_c + rise_k, "°C", weakest(_RISE, *sources), note)
    return InsideTemperature(ambient_c + rise_k, rise_k, wall_w_per_k * rise_k, fan_w_per_k * rise_k, limit, error_k)


def altitude_offset(altitude_m: float) -> Limit:
    """What must be added to the air temperature of a device for thin air [K]. Source: table limits, one source."""
    above_m = max(0.0, altitude_m - _THIN_AIR_FROM.value)
    return Limit(_THIN_AIR_RISE.value * above_m / 1000.0, "K", _THIN_AIR_RISE.source)


def derated(rated: float, from_c: float, slope_per_k: float, inside_c: float) -> float:
    """Rating left at a temperature, in the unit of `rated`: full to `from_c`, then falling by a share per kelvin.

    `slope_per_k` 0.025 for 2.5 % per kelvin; never below zero. Raises ValueError below zero.
    Source: data sheets of supplies.
    """
    not_negative(rated=rated, slope_per_k=slope_per_k)
    return rated * max(0.0, 1.0 - slope_per_k * max(0.0, inside_c - from_c))
