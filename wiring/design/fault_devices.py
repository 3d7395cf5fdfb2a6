"""Protective devices as a short circuit sees them: release, standard of the rulebook, and what they break.

`wiring.design.devices` asks what a device lets pass for ever and may guess the slowest; here nothing is guessed.
"""

from __future__ import annotations

from wiring.parts.base import Part
from wiring.parts.incoming import Inlet
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector, ResidualCurrentDevice
from wiring.parts.storage import Battery
from wiring.plan.site import Upstream
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.breakers import breaker_breaking_capacity
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.devices import Device
from wiring.rulebooks.fuses import CLASSES, fuse_breaking_capacity

#: A short-circuit release of a motor protector answers at this multiple of the upper end of its range (common
#: practice: makers print 12 to 14).
MAGNETIC_OF_PROTECTOR = 13.0
_NA_STANDARD = {"branch": "UL 489", "supplementary": "UL 1077"}
UPSTREAM = "upstream"


def fault_device(part: Part, book: str) -> Device | str | None:
    """The device that a part is; a text that says what the plan must add; None for a part that protects nothing."""
    data = part.data
    match data:
        case Breaker():
            return Device("breaker", data.rating, data.curve or "", _NA_STANDARD[data.standard] if book == "na" else "")
        case Fuse() if data.class_ is None:
            return "class"
        case Fuse() if data.rating is None:
            return "rating"
        case Battery(fuse=fuse) | Inlet(fuse=fuse) if fuse is not None:
            if fuse.rating is None or fuse.class_ not in CLASSES:
                return "fuse: rating and class"
            return Device("fuse", fuse.rating, fuse.class_ or "")
        case Fuse():
            known = data.class_ in CLASSES
            return (
                Device("fuse", data.rating or 0.0, data.class_ or "", time_delay=data.time_delay)
                if known
                else "a known class"
            )
        case ElectronicFuse():
            return Device("electronic-fuse", data.rating, limit_multiple=max(data.limit, 1.0), limit_s=data.time)
        case MotorProtector():
            top = data.range.high if data.range else data.setting
            release = MAGNETIC_OF_PROTECTOR * top if data.magnetic else None
            return Device("motor-protector", data.setting, data.trip_class, magnetic_a=release)
        case ResidualCurrentDevice() if data.rating is not None:
            return Device("breaker", data.rating, data.curve or "", "UL 489" if book == "na" else "")
    return None


def upstream_fault_device(upstream: Upstream | None, book: str) -> Device | None:
    """The device of the building in front of the machine, None where the plan does not know it."""
    if upstream is None:
        return None
    if upstream.kind == "breaker":
        return Device("breaker", upstream.rating, upstream.curve or "", "UL 489" if book == "na" else "")
    fuse_class = "T-UL" if upstream.fuse_class == "T" else upstream.fuse_class or ""
    return Device("fuse", upstream.rating, fuse_class) if fuse_class in CLASSES else None


def capacity_of(part: Part, device: Device) -> Limit | NotTabled:
    """The short-circuit current that a device breaks [A]: its marking, else the least of its standard."""
    marked = getattr(part.data, "breaking", None)
    if device.family == "breaker":
        return breaker_breaking_capacity(marked, device.standard or "IEC 60898-1")
    if device.family == "fuse":
        return fuse_breaking_capacity(device.curve, device.rating_a, marked)
    if marked is not None:
        return Limit(marked, "A", Source("marking of the device", "", "", Standing.CONFIRMED))
    return NotTabled("its breaking capacity (`breaking`)")
