"""What flows through every device: as solved, at most, and what may be switched on on top."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from msgspec import Struct, field

from wiring.design.design import Design
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.supply.given_voltages import Loaded, Reachable
from wiring.design.supply.levels import DevicesAhead, reachable_volts
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Pole, Resistance
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector, ResidualCurrentDevice

_DEVICES = (Breaker, ElectronicFuse, Fuse, MotorProtector)


def device_loads(machine: Machine, operation: Operation) -> Mapping[str, float]:
    """The largest current of every protective device over all states [A], by its name."""
    found: dict[str, float] = {}
    for part in machine.parts.values():
        poles = [f"{part.name}:{pole.name}" for pole in part.of(Pole)]
        if poles and isinstance(part.data, _DEVICES):
            points = [point.path_current(kind) for point in operation.states.values() for kind in ("DC", "AC")]
            found[part.name] = max((abs(paths.get(pole, 0.0)) for paths in points for pole in poles), default=0.0)
    return found


#: Below this a load counts as not fed [V]: what leaks through inputs and open outputs (own choice).
_FED_V = 0.5


class DeviceFlow(Struct):
    """What flows through a device at most: solved, in a state, and what may come on top, by part."""

    amps: float = 0.0
    state: str = ""
    more: dict[str, float] = field(default_factory=dict)


def device_ratings(design: Design) -> dict[str, float]:
    """The rating of every device that has one [A], by its name."""
    return {name: amps for name, part in design.parts.items() if (amps := _rating_of(design, part)) is not None}


def device_flows(design: Design, ratings: Mapping[str, float]) -> dict[str, DeviceFlow]:
    """What flows through every device, by its name."""
    through = _solved_flows(design, ratings)
    _add_unfed(design, through)
    return through


def _rating_of(design: Design, part: Part) -> float | None:
    known = design.devices.by_name.get(part.name)
    of_device = known.device.rating_a if known is not None and known.device is not None else None
    if isinstance(part.data, ResidualCurrentDevice):  # whose contacts may be for less than its release
        return min(part.data.rated, of_device or part.data.rated)
    return of_device


def _solved_flows(design: Design, ratings: Mapping[str, float]) -> dict[str, DeviceFlow]:
    poles = [path for path in design.circuit.inner if path.part in ratings and isinstance(path.element, Pole)]
    found = {path.part: DeviceFlow() for path in poles}
    for state, point in design.operation.loaded.items():
        dc, ac = point.path_current("DC"), point.path_current("AC")
        for path in poles:
            amps = hypot(abs(dc.get(path.id, 0.0)), abs(ac.get(path.id, 0.0)))
            if amps > found[path.part].amps:
                found[path.part].amps, found[path.part].state = amps, state
    return found


def _add_unfed(design: Design, through: dict[str, DeviceFlow]) -> None:
    """The loads that no state feeds, at the devices on their way."""
    ahead = DevicesAhead(design.machine)
    for part, element in design.circuit.elements(Draw, Coil, Resistance):
        assert isinstance(element, Draw | Coil | Resistance)
        if (isinstance(element, Resistance) and not element.load) or _is_loaded(design, part, element):
            continue
        given = max(
            reachable_volts(design.machine, design.operation, part, element), key=lambda one: one.volts, default=None
        )
        amps = _drawn_a(element, given) if given is not None and given.volts > 0.0 else 0.0
        if amps > 0.0:
            for device in ahead.of(part, element):
                if device in through:
                    through[device].more[part.name] = max(amps, through[device].more.get(part.name, 0.0))


def _is_loaded(design: Design, part: Part, element: Loaded) -> bool:
    """Whether its current is among the solved ones already."""
    ends = (part.name, element.a), (part.name, element.b)
    points = design.operation.loaded.values()
    return any(abs(point.between(*ends, kind)) > _FED_V for point in points for kind in ("DC", "AC"))


def _drawn_a(element: Loaded, given: Reachable) -> float:
    match element:
        case Coil() | Resistance():
            return given.volts / element.ohm
        case Draw():
            watts = (element.watts or 0.0) / element.power_factor
            return element.amps if element.amps is not None else watts / given.volts
    return 0.0
