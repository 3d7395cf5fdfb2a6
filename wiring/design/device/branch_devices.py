"""Devices on the way from the mains to a conductor: which guard a branch, and which are supplementary."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.conductor.use import use_of
from wiring.design.design import Design
from wiring.design.device.devices import UPSTREAM
from wiring.design.fault.paths import MAINS
from wiring.parts.base import Part
from wiring.parts.protection import Breaker, Fuse, MotorProtector
from wiring.rulebooks.fuses import is_branch_class


def _is_supplementary(part: Part) -> bool:
    """Whether a device is made for use behind a branch device only."""
    data = part.data
    if isinstance(data, Breaker):
        return data.standard == "supplementary"
    return isinstance(data, Fuse) and data.class_ is not None and not is_branch_class(data.class_)


def _devices_on_the_way(design: Design, conductor: Conductor) -> tuple[str, ...]:
    """The devices on the way of a conductor from the mains, those of the source first."""
    paths = design.short_circuits.paths
    ways = [paths.hot[end] for end in conductor.ends if end in paths.hot]
    if not ways or any(paths.origins[way.origin].part != MAINS for way in ways):
        return ()
    return min((way.devices for way in ways), key=len)


def supplementary_device(design: Design, conductor: Conductor) -> str:
    """The nearest device of a power conductor where that is supplementary, "" otherwise."""
    if conductor.kind == "shield" or use_of(design.machine, conductor) != "power":
        return ""
    own = [name for name in _devices_on_the_way(design, conductor) if name in design.parts]
    guards = [name for name in own if isinstance(design.parts[name].data, Breaker | Fuse)]
    return guards[-1] if guards and _is_supplementary(design.parts[guards[-1]]) else ""


def branch_rating_a(design: Design, conductor: Conductor) -> float:
    """Rating of the nearest branch device in front of a conductor [A], 0 where none is known."""
    for name in reversed(_devices_on_the_way(design, conductor)):
        known = design.short_circuits.known.get(name)
        branch = name == UPSTREAM or (
            name in design.parts
            and isinstance(design.parts[name].data, Breaker | Fuse)
            and not _is_supplementary(design.parts[name])
        )
        if known is not None and branch:
            return known.rating_a
    return 0.0


def is_mains_power(design: Design, conductor: Conductor) -> bool:
    """Whether a conductor carries the power of the mains."""
    paths = design.short_circuits.paths
    ways = [paths.hot[end] for end in conductor.ends if end in paths.hot]
    on_mains = bool(ways) and all(paths.origins[way.origin].part == MAINS for way in ways)
    return on_mains and conductor.kind != "shield" and use_of(design.machine, conductor) == "power"


def nearest_device(design: Design, conductor: Conductor) -> str:
    """The nearest fuse or breaker in front of a conductor; "" where there is none."""
    hot = design.short_circuits.paths.hot
    devices = min((hot[end].devices for end in conductor.ends if end in hot), key=len, default=())
    own = [name for name in devices if name in design.parts and isinstance(design.parts[name].data, Breaker | Fuse)]
    return own[-1] if own else ""


def relay_class(design: Design, conductor: Conductor) -> str:
    """Class of the overload device on the way of a motor conductor, "20" where none is known: the stricter."""
    hot = design.short_circuits.paths.hot
    names = {name for end in conductor.ends if end in hot for name in hot[end].devices if name in design.parts}
    classes = {d.trip_class for name in names if isinstance(d := design.parts[name].data, MotorProtector)}
    return "10" if classes and classes <= {"10", "10A"} else "20"
