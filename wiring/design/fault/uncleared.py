"""Devices that no short circuit surely opens, what is missing to say so, and the largest that would open."""

from __future__ import annotations

from math import inf

from msgspec import Struct, field

from wiring.design.conductor.wire_resistance import conductor_ohm
from wiring.design.design import Design
from wiring.design.device.devices import largest_that
from wiring.design.fault.clearing import clearing_of, opening_s
from wiring.design.fault.ohms import COLD_C
from wiring.design.fault.origins import is_assumed
from wiring.design.fault.records import FAULT_CURRENT, DeviceFault
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import device_curve, surely_opens_at
from wiring.rulebooks.earthing import ADIABATIC_HEATING_MAX_S


class _Uncleared(Struct, frozen=True):
    """Devices on their weakest short circuit: those that never open, by the supply that lets nothing more pass or by
    themselves; those that are slow, by supply; and those of a supply of which is not known what it gives."""

    never: dict[str, list[DeviceFault]] = field(default_factory=dict)
    slow: dict[str, list[DeviceFault]] = field(default_factory=dict)
    unknown: dict[str, list[str]] = field(default_factory=dict)


def uncleared(design: Design) -> _Uncleared:
    """Every device that a short circuit does not surely and soon open."""
    found = _Uncleared()
    for row in design.short_circuits.devices.values():
        latest = row.clearing.latest_s
        limited = row.farthest.origin.limit_a < inf
        source = row.farthest.origin.part
        if limited and not row.farthest.origin.known and not is_assumed(design, row.farthest):
            if latest < inf or not row.clearing.shuts_down:
                found.unknown.setdefault(source, []).append(row.part)
        elif latest < inf:
            if limited and latest > ADIABATIC_HEATING_MAX_S:
                found.slow.setdefault(source, []).append(row)
        elif not row.clearing.shuts_down:
            found.never.setdefault(source if limited else row.part, []).append(row)
    return found


def largest_clearing(design: Design, row: DeviceFault) -> float | None:
    """The largest rating [A] at which the device opens on its weakest short circuit; None where it need not.

    Another one on the way may open in its place, the supply may go off, or too little may be known.
    """
    short, known = row.farthest, design.short_circuits.known
    others = {name: device for name, device in known.items() if name != row.part}
    if row.part not in design.parts or row.clearing.shuts_down or missing_for_clearing(design, row):
        return None
    if not short.origin.known or clearing_of(others, short).latest_s < inf:
        return None
    part = design.parts[row.part]
    return largest_that(part, row.device, design.plan.rulebook, lambda like: opening_s(like, short) < inf)


def larger_supply(design: Design, rule: str, row: DeviceFault) -> Requirements:
    """The supply in front, limiting at the same multiple of its rating, at which the device surely opens."""
    origin, opens_a = row.farthest.origin, surely_opens_at(row.device, row.farthest.dc)
    rated_a = getattr(design.parts[origin.part].data, "rated", None) if origin.part in design.parts else None
    if isinstance(rated_a, float) and rated_a and opens_a < inf:
        least_a = rated_a * opens_a / origin.limit_a
        why = f"{row.part} must open on a short circuit"
        yield Requirement(rule, origin.part, Quantity.RATING, least_a, why=why)


def thicker_loop(design: Design, rule: str, row: DeviceFault) -> Requirements:
    """The conductors of its loop, all as much thicker as lets the device surely open; none where no thickness does."""
    times = _times_thicker(design, row)
    for name in dict.fromkeys(design.short_circuits.loop(row.farthest)) if 1.0 < times < inf else ():
        size = design.circuit.conductor[name].size
        if size is not None:
            why = f"{row.part} must open at its end"
            yield Requirement(rule, name, Quantity.AREA, size.area_mm2 * times, why=why)


def is_held_by_feed(design: Design, row: DeviceFault) -> bool:
    """Whether what feeds the loop lets too little pass for the device, however thick the conductors are."""
    return surely_opens_at(row.device, row.farthest.dc) < inf and _times_thicker(design, row) == inf


def _times_thicker(design: Design, row: DeviceFault) -> float:
    """How many times as thick all conductors of the loop must be for the device to open; infinite where none helps.

    What the loop may have at the current at which it opens is shared by the conductors and by all else in it, which
    stays: the source and the devices.
    """
    short, machine = row.farthest, design.machine
    wires = [design.circuit.conductor[name] for name in dict.fromkeys(design.short_circuits.loop(short))]
    rest_ohm = max(short.cold_ohm - sum(conductor_ohm(machine.book, wire, COLD_C) for wire in wires), 0.0)
    share = surely_opens_at(row.device, short.dc) / max(short.lowest.steady_state_a, 1e-9)
    left_ohm = short.hot_ohm / share - rest_ohm
    return (short.hot_ohm - rest_ohm) / left_ohm if left_ohm > 0.0 else inf


def missing_for_clearing(design: Design, row: DeviceFault) -> str:
    """What the plan must add before a device that seems not to open may be blamed."""
    if is_assumed(design, row.farthest):
        return FAULT_CURRENT
    if row.device.family == "breaker" and not row.device.curve:
        return f"the tripping curve of {row.part} (`curve`)"
    if all(point.open_s is None for point in device_curve(row.device, row.farthest.dc).points):
        return f"opening times of {row.part} from its data sheet: no standard gives them for a {row.device}"
    return ""


def shares_supply(design: Design, row: DeviceFault) -> bool:
    """Whether other branches of the same supply go down with this one."""
    source = row.farthest.origin.part
    return sum(other.farthest.origin.part == source for other in design.short_circuits.devices.values()) > 1


def guarded_by_limit(design: Design, row: DeviceFault) -> list[tuple[str, float]]:
    """The conductors behind a device, on its weakest short circuit, that bear less than its rating and no less
    than the limit of the source, which alone guards them, each with what it bears [A]."""
    hot = design.short_circuits.paths.hot
    found = []
    for name in design.short_circuits.loop(row.farthest):
        figure, ends = design.conductors.get(name), design.circuit.conductor[name].ends
        behind = all(end in hot and row.part in hot[end].devices for end in ends)
        bears = figure.ampacity if figure is not None else None
        if behind and isinstance(bears, Limit) and row.farthest.origin.limit_a <= bears.value < row.device.rating_a:
            found.append((name, bears.value))
    return found
