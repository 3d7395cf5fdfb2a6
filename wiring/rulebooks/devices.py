"""Any protective device as plain data, and the one question asked of all of them: when does it open?"""

from __future__ import annotations

from functools import cache
from math import inf
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from wiring.parts.ranges import above_zero
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.breakers import USUAL_OPENING_S, breaker_curve, breaker_let_through
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.fuses import fuse_curve, fuse_let_through
from wiring.rulebooks.tables import load
from wiring.rulebooks.time_current import Curve, CurvePoint, OpeningTime, by_current

Family = Literal["breaker", "fuse", "electronic-fuse", "motor-protector"]

_DATA = Source("data of the device", "", "", Standing.ONE_SOURCE)
_MAGNETIC = Source(
    "IEC 60947-2", "2016", "8.3.3.1.2, magnetic release within 20 % of its setting", Standing.FROM_MEMORY
)


class Device(Struct, frozen=True):
    """A protective device. `rating_a` rated current or, for a motor protector, its setting [A], above zero.

    `curve` of a breaker, class of a fuse, trip class of a motor protector; `standard` of a breaker; `letter` (L, E, H)
    of a miniature fuse; `time_delay` of a UL fuse; `limit_multiple` and `limit_s` of an electronic fuse; `magnetic_a`
    current at which a motor protector trips at once, None for one without; `energy_class` of a breaker, "" when not
    known, with its marked `breaking_a`; `half_cycle_s` of the supply that it breaks.
    """

    family: Family
    rating_a: float
    curve: str = ""
    standard: str = ""
    letter: str = ""
    time_delay: bool = False
    limit_multiple: float = 1.25
    limit_s: float = 0.5
    magnetic_a: float | None = None
    energy_class: str = ""
    breaking_a: float | None = None
    half_cycle_s: float = USUAL_OPENING_S

    def __str__(self) -> str:
        return f"{self.family} {self.curve} {self.rating_a:g} A".replace("  ", " ")


def overload_curve(trip_class: str, setting_a: float, magnetic_a: float | None = None) -> Curve:
    """The points of a thermal overload relay from the cold state; `trip_class` 10A, 10, 20 or 30, setting above zero.

    `magnetic_a` adds an instantaneous release within 20 % of that current. Raises ValueError for an unknown class.
    Source: table overload_relay (IEC 60947-4-1).
    """
    above_zero(setting_a=setting_a)
    rows = load("iec", "overload_relay").where(trip_class=trip_class)
    if not rows:
        raise ValueError(f"{trip_class!r} is no trip class; 10A, 10, 20 and 30 are known")
    points = [CurvePoint(setting_a, rows[0].source, hold_s=inf)]
    for row in rows:
        current_a = row.number("current_multiple") * setting_a
        points.append(CurvePoint(current_a, row.source, row.number_or_none("hold_s"), row.number_or_none("open_s")))
    if magnetic_a is None:
        return Curve(by_current(points))
    lowest_a = 0.8 * magnetic_a
    thermal = [replace(point, hold_s=None) if point.current_a > lowest_a else point for point in points]
    release = [CurvePoint(lowest_a, _MAGNETIC, hold_s=0.1), CurvePoint(1.2 * magnetic_a, _MAGNETIC, open_s=0.1)]
    return Curve(by_current([*thermal, *release]))


def electronic_curve(rating_a: float, limit_multiple: float, limit_s: float) -> Curve:
    """The points of an electronic fuse: it carries its rating and is off within `limit_s` at its limit.

    Rating and time above zero, multiple at least 1; ValueError otherwise. Source: the device's own data.
    """
    above_zero(rating_a=rating_a, limit_s=limit_s, limit_multiple=limit_multiple)
    if limit_multiple < 1.0:
        raise ValueError(f"limit_multiple is {limit_multiple:g}; at least 1 was expected")
    return Curve(
        (CurvePoint(rating_a, _DATA, hold_s=inf), CurvePoint(limit_multiple * rating_a, _DATA, open_s=limit_s))
    )


@cache
def device_curve(device: Device, dc: bool) -> Curve:
    """The points of any device on AC or DC. Raises ValueError for data out of range or an unknown class."""
    match device.family:
        case "breaker":
            return breaker_curve(device.curve, device.rating_a, dc, device.standard)
        case "fuse":
            return fuse_curve(device.curve, device.rating_a, device.letter, device.time_delay)
        case "electronic-fuse":
            return electronic_curve(device.rating_a, device.limit_multiple, device.limit_s)
        case "motor-protector":
            return overload_curve(device.curve or "10", device.rating_a, device.magnetic_a)
    raise ValueError(f"{device.family!r} is no family of protective devices")


def clears(device: Device, current_a: float, dc: bool) -> OpeningTime:
    """Earliest and latest opening time of any device [s] at a current [A], not negative.

    `max_s` infinite: it need not open. `min_s` zero: it may open at once. Raises ValueError as `device_curve`.
    """
    return device_curve(device, dc).at(current_a)


def surely_opens_at(device: Device, dc: bool, within_s: float = inf) -> float:
    """Smallest current [A] at which a device surely opens within a time [s]; infinite when none is promised.

    With no time given this is the conventional operating current I2. Raises ValueError as `device_curve`.
    """
    curve = device_curve(device, dc)
    return curve.conventional_current() if within_s == inf else curve.opening_current(within_s)


def surely_opens_source(device: Device, dc: bool, within_s: float = inf) -> Source | None:
    """Where the current of `surely_opens_at` stands; None where none is promised."""
    current_a = surely_opens_at(device, dc, within_s)
    return clears(device, current_a, dc).max_source if current_a < inf else None


def let_through(device: Device, fault_a: float, dc: bool) -> Limit | NotTabled:
    """Energy that a device lets through at a fault current [A2s]; see the functions of its family.

    For electronic fuses and motor protectors current squared times the latest time. NotTabled where it need not open.
    """
    if device.family == "breaker":
        return breaker_let_through(
            device.curve,
            device.rating_a,
            fault_a,
            dc,
            device.standard,
            device.energy_class,
            device.breaking_a,
            device.half_cycle_s,
        )
    if device.family == "fuse":
        return fuse_let_through(device.curve, device.rating_a, fault_a, device.letter, device.time_delay)
    band = clears(device, fault_a, dc)
    if band.max_s == inf or band.max_source is None:
        return NotTabled(f"no opening time is promised for {device} at {fault_a:.3g} A")
    return Limit(fault_a**2 * band.max_s, "A2s", band.max_source, band.note)
