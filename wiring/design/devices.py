"""Protective devices of the plan in the rulebook's terms, so that one set of points answers for all of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.parts.base import Part
from wiring.parts.incoming import Inlet
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector, ResidualCurrentDevice
from wiring.parts.storage import Battery
from wiring.rulebooks.devices import Device, surely_opens_at

if TYPE_CHECKING:
    from wiring.plan.site import Upstream

#: Class T of UL is written T-UL in the tables, because T alone is the time-lag miniature fuse of IEC 60127.
_UPSTREAM_CLASS = {"T": "T-UL"}
#: Where the plan names no fuse class or breaker curve, the slowest common one is taken for what passes for ever.
_UNKNOWN_FUSE = "gG"
#: The largest conventional operating current of a standard: 2.1 times the rating (IEC 60127-2, small fuses gG).
_LARGEST_CONVENTIONAL = 2.1


def device_of(part: Part) -> Device | None:
    """The rulebook's device that a part is; None for a part that does not limit a current."""
    data = part.data
    match data:
        case Breaker():
            standard = "" if data.standard == "branch" else "UL 1077"
            return Device("breaker", data.rating, data.curve or "", standard)
        case Fuse() if data.rating is not None:
            return Device("fuse", data.rating, data.class_ or _UNKNOWN_FUSE)
        case Battery(fuse=fuse) | Inlet(fuse=fuse) if fuse is not None and fuse.rating is not None:
            return Device("fuse", fuse.rating, fuse.class_ or _UNKNOWN_FUSE)
        case ElectronicFuse():
            return Device("electronic-fuse", data.rating, limit_multiple=data.limit, limit_s=data.time)
        case MotorProtector():
            return Device("motor-protector", data.setting, data.trip_class)
        case ResidualCurrentDevice() if data.rating is not None:
            return Device("breaker", data.rating, data.curve or "")
    return None


def upstream_device(upstream: Upstream) -> Device:
    """The device of the building in front of the machine."""
    if upstream.kind == "breaker":
        return Device("breaker", upstream.rating, upstream.curve or "")
    fuse_class = upstream.fuse_class or _UNKNOWN_FUSE
    return Device("fuse", upstream.rating, _UPSTREAM_CLASS.get(fuse_class, fuse_class))


def conventional_operating_current(device: Device, *, dc: bool) -> float:
    """Current below which a device may never open [A]: its conventional operating current.

    Where its standard promises none near its rating, the largest multiple that one promises counts.
    """
    return min(surely_opens_at(device, dc), _LARGEST_CONVENTIONAL * device.rating_a)
