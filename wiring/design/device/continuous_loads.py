"""What flows lastingly through the devices and conductors on the way of loads, with the margin of NFPA 70 for it."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from msgspec import Struct, field

from wiring.design.design import Design
from wiring.design.device.supply_way import parts_by_way
from wiring.parts.base import Part
from wiring.parts.loads import Heater, MetalLoad
from wiring.parts.motors import Motor
from wiring.rulebooks.overcurrent import least_device_rating


class ContinuousFlow(Struct):
    """The most that something carries in a state with the margin [A], which loads ask for it, and which may."""

    needed_a: float = 0.0
    amps: float = 0.0
    loads: tuple[str, ...] = ()
    unknown: set[str] = field(default_factory=set)
    with_unknown_a: float = 0.0


def continuous_flows(design: Design) -> tuple[dict[str, ContinuousFlow], dict[str, ContinuousFlow]]:
    """What the conductors on the way of loads carry, and the breakers and fuses there, by their name."""
    if design.plan.rulebook != "na":
        return {}, {}
    loads = [part for part in design.parts.values() if isinstance(part.data, MetalLoad)]
    loads = [part for part in loads if not isinstance(part.data, Motor) and continuous(part) is not False]
    by_way = parts_by_way(design.short_circuits.paths, loads)
    poles = {path.id: path.part for path in design.circuit.inner}
    conductors: dict[str, ContinuousFlow] = {}
    devices: dict[str, ContinuousFlow] = {}
    for edge, parts in by_way.items():
        through = _continuous_flow(design, edge, parts)
        if edge in design.circuit.conductor:
            conductors[edge] = through
        elif (name := poles.get(edge)) is not None and margin_rating_a(design, name) is not None:
            known = devices.get(name)
            if known is None or through.with_unknown_a > known.with_unknown_a:
                devices[name] = through
    return conductors, devices


def margin_rating_a(design: Design, name: str) -> float | None:
    """Rating of a breaker or fuse to which the margin applies [A]; None for any other part."""
    known = design.devices.by_name.get(name)
    device = known.device if known else None
    return device.rating_a if device and device.family in ("breaker", "fuse") else None


def _continuous_flow(design: Design, edge: str, parts: tuple[Part, ...]) -> ContinuousFlow:
    found = ContinuousFlow()
    for point in design.states.values():
        currents: Mapping[tuple[str, int], complex] = {**point.element_current("DC"), **point.element_current("AC")}
        amps = hypot(*(abs(point.path_current(kind).get(edge, 0.0)) for kind in ("DC", "AC")))
        drawn = {
            part.name: max((abs(currents.get((part.name, n), 0.0)) for n in range(len(part.elements))), default=0.0)
            for part in parts
        }
        sure = [part for part in parts if drawn[part.name] > 0.0 and _is_continuous(part)]
        maybe = [part for part in parts if drawn[part.name] > 0.0 and not _is_continuous(part)]
        steady = min(sum(drawn[part.name] for part in sure), amps)
        needed = least_device_rating("na", steady, amps - steady).value
        if needed > found.needed_a:
            found.needed_a, found.amps, found.loads = needed, amps, tuple(part.name for part in sure)
        steady = min(steady + sum(drawn[part.name] for part in maybe), amps)
        found.with_unknown_a = max(found.with_unknown_a, least_device_rating("na", steady, amps - steady).value)
        found.unknown |= {part.name for part in maybe}
    return found


def continuous(part: Part) -> bool | None:
    """Whether a load counts with the margin: a heater always; None where the plan does not say."""
    if isinstance(part.data, Heater):
        return True
    return part.data.continuous if isinstance(part.data, MetalLoad) else False


def _is_continuous(part: Part) -> bool:
    return continuous(part) is True
