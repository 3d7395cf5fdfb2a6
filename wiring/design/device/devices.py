"""Protective devices of a plan in the rulebook's terms: one record of each, for whoever asks when it opens."""

from __future__ import annotations

from collections.abc import Callable
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from wiring.parts.base import Part
from wiring.parts.incoming import Inlet
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector, ResidualCurrentDevice
from wiring.parts.storage import Battery
from wiring.plan.site import Upstream
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.breakers import breaker_breaking_capacity
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.devices import Device, surely_opens_at, surely_opens_source
from wiring.rulebooks.fuses import CLASSES, UL_CLASSES, fuse_breaking_capacity
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.overcurrent import standard_ratings
from wiring.rulebooks.steps import SMALL_UL_FUSE_A, SUPPLEMENTARY_A, last_at_most

#: The name of the device of the building in front of the machine.
UPSTREAM = "upstream"
#: A short-circuit release of a motor protector answers at this multiple of the upper end of its range.
MAGNETIC_OF_PROTECTOR = tabled("common", "protector_magnetic").value
#: Class T of UL is written T-UL in the tables, because T alone is the time-lag miniature fuse of IEC 60127.
_UPSTREAM_CLASS = {"T": "T-UL"}
#: Where the plan names no fuse class, the slowest common one is taken for what passes for ever.
_UNKNOWN_FUSE = "gG"
#: The largest conventional operating current of a standard, in rated currents.
_LARGEST_CONVENTIONAL = tabled("common", "conventional_largest").value


#: The standard of a supplementary protector; a branch breaker may be marked for both books, with an energy class.
SUPPLEMENTARY = "UL 1077"


class ProtectiveDevice(Struct, frozen=True):
    """A part, or the device of the building, that opens on too high a current.

    `missing` names the keys that the plan must add before its opening times are known, "" for none; `device` is until
    then the slowest common one of its rating, None where not even that is known.
    """

    name: str
    device: Device | None
    missing: str = ""


def protective_device(part: Part, book: str) -> ProtectiveDevice | None:
    """The protective device that a part is under a rulebook; None for a part that opens on no overcurrent."""
    data = part.data
    match data:
        case Breaker():
            standard = SUPPLEMENTARY if data.standard == "supplementary" else _branch_standard(book)
            energy_class = (data.energy_class or "") if standard != SUPPLEMENTARY else ""
            device = Device(
                "breaker", data.rating, data.curve or "", standard, energy_class=energy_class, breaking_a=data.breaking
            )
        case Fuse():
            return _fuse(part.name, data.rating, data.class_, data.time_delay)
        case Battery(fuse=fuse) | Inlet(fuse=fuse) if fuse is not None:
            return _fuse(part.name, fuse.rating, fuse.class_)
        case ElectronicFuse():
            device = Device("electronic-fuse", data.rating, limit_multiple=max(data.limit, 1.0), limit_s=data.time)
        case MotorProtector():
            top = data.range.high if data.range else data.setting
            release = MAGNETIC_OF_PROTECTOR * top if data.magnetic else None
            device = Device("motor-protector", data.setting, data.trip_class, magnetic_a=release)
        case ResidualCurrentDevice() if data.rating is not None:
            device = Device("breaker", data.rating, data.curve or "", _branch_standard(book))
        case _:
            return None
    return ProtectiveDevice(part.name, device)


#: The smallest devices whose own resistance is tabled [A]; what smaller ones lose could not be judged.
_SMALLEST_BREAKER_A, _SMALLEST_FUSE_A = 1.0, 0.5
_MINIATURE = ("FF", "F", "M", "T", "TT")
_SMALL_UL = ("CC", "midget")


def device_steps(part: Part, book: str) -> tuple[float, ...]:
    """The rated currents that a device like this one is sold with, rising [A]; none for one that is set."""
    match part.data:
        case Breaker(standard="supplementary"):
            return SUPPLEMENTARY_A
        case Breaker():
            return tuple(step for step in standard_ratings(book, "breaker") if step >= _SMALLEST_BREAKER_A)
        case Fuse(class_=fuse_class) if fuse_class in _SMALL_UL:
            return SMALL_UL_FUSE_A
        case Fuse(class_=fuse_class):
            kind = "miniature-fuse" if fuse_class in _MINIATURE else "fuse"
            of = "na" if fuse_class in UL_CLASSES else "iec"
            return tuple(step for step in standard_ratings(of, kind) if step >= _SMALLEST_FUSE_A)
    return ()


def device_at_most(part: Part, book: str, most_a: float) -> float:
    """The largest such rating that is not above a current [A]; the current itself where there is none."""
    return last_at_most(device_steps(part, book), most_a) or most_a


def largest_that(part: Part, device: Device, book: str, fits: Callable[[Device], bool]) -> float | None:
    """The largest rating [A] at which a device like this one fits; 0 where none does, None for one without steps."""
    steps = device_steps(part, book)
    fitting = (step for step in reversed(steps) if fits(replace(device, rating_a=step)))
    return next(fitting, 0.0) if steps else None


def smallest_that(part: Part, device: Device, book: str, fits: Callable[[Device], bool]) -> float | None:
    """The smallest rating [A] at which a device like this one fits; infinite where none does, None without steps."""
    steps = device_steps(part, book)
    fitting = (step for step in steps if fits(replace(device, rating_a=step)))
    return next(fitting, inf) if steps else None


def _fuse(name: str, rating_a: float | None, fuse_class: str | None, time_delay: bool = False) -> ProtectiveDevice:
    known = fuse_class if fuse_class in CLASSES else None
    absent = [key for key, value in (("rating", rating_a), ("class", known)) if value is None]
    device = None if rating_a is None else Device("fuse", rating_a, known or _UNKNOWN_FUSE, time_delay=time_delay)
    return ProtectiveDevice(name, device, " and ".join(absent))


def _branch_standard(book: str) -> str:
    """The standard of a branch-circuit breaker; "" for the one that its curve belongs to."""
    return "UL 489" if book == "na" else ""


def upstream_device(upstream: Upstream, book: str) -> ProtectiveDevice:
    """The device of the building in front of the machine."""
    if upstream.kind == "breaker":
        standard, energy_class = _branch_standard(book), upstream.energy_class or ""
        device = Device("breaker", upstream.rating, upstream.curve or "", standard, energy_class=energy_class)
        return ProtectiveDevice(UPSTREAM, device)
    fuse_class = upstream.fuse_class or ""
    return _fuse(UPSTREAM, upstream.rating, _UPSTREAM_CLASS.get(fuse_class, fuse_class))


def conventional_operating_current(device: Device, *, dc: bool) -> float:
    """Current below which a device may never open [A]: its conventional operating current.

    Where its standard promises none near its rating, the largest multiple that one promises counts.
    """
    return min(surely_opens_at(device, dc), _LARGEST_CONVENTIONAL * device.rating_a)


def conventional_source(device: Device, *, dc: bool) -> Source | None:
    """Where that current stands."""
    if surely_opens_at(device, dc) <= conventional_operating_current(device, dc=dc):
        return surely_opens_source(device, dc)
    return tabled("common", "conventional_largest").source


def breaking_capacity(part: Part, device: Device) -> Limit | NotTabled:
    """The short-circuit current that a device breaks [A]: its marking, else the least of its standard."""
    fuse = part.data.fuse if isinstance(part.data, Battery | Inlet) else None
    marked = fuse.breaking if fuse else getattr(part.data, "breaking", None)
    if device.family == "breaker":
        return breaker_breaking_capacity(marked, device.standard or "IEC 60898-1")
    if device.family == "fuse":
        return fuse_breaking_capacity(device.curve, device.rating_a, marked)
    if marked is not None:
        return Limit(marked, "A", Source("marking of the device", "", "", Standing.CONFIRMED))
    return NotTabled("its breaking capacity (`breaking`)")
