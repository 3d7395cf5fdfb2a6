"""The peaks that fuses and magnetic releases hold, and the smallest device that holds one."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.device.devices import smallest_that
from wiring.rulebooks.breakers import MAGNETIC_S
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import Device, device_curve
from wiring.rulebooks.limits import tabled
from wiring.wording import seconds


def smallest_holding(design: Design, name: str, total: float) -> float | None:
    """The smallest breaker of its curve that holds a peak [A]; None for another device."""
    device = design.short_circuits.known.get(name)
    if device is None or name not in design.parts or surely_held(device) is None:
        return None
    return smallest_that(design.parts[name], device, design.plan.rulebook, lambda like: holds_peak(like, total))


def holds_peak(device: Device, total: float) -> bool:
    """Whether the magnetic release of a device surely holds a peak [A]."""
    limit = surely_held(device)
    return limit is not None and limit.value >= total


def surely_held(device: Device) -> Limit | None:
    """The current up to which the magnetic release surely holds; None for a device without one."""
    if device.family not in ("breaker", "motor-protector") or (device.family == "breaker" and not device.curve):
        return None
    points = [point for point in device_curve(device, False).points if point.hold_s == MAGNETIC_S]
    return Limit(points[-1].current_a, "A", points[-1].source, str(device)) if points else None


#: An easy start of a pump, a fan or a conveyor.
START_S = tabled("common", "easy_start").value


def may_hold(total: float, device: Device) -> bool:
    """Whether a fuse may hold a starting current [A] for the time of a start."""
    return device_curve(device, False).at(total).max_s > START_S


def surely_holds(total: float, device: Device) -> bool:
    """Whether a fuse surely holds a starting current [A] for the time of a start."""
    return device_curve(device, False).at(total).min_s >= START_S


def held_at_start(device: Device) -> Limit:
    """The largest current that the fuse holds for the time of a start [A]."""
    points = [
        point for point in device_curve(device, False).points if point.hold_s is not None and point.hold_s >= START_S
    ]
    best = max(points, key=lambda point: point.current_a)
    return Limit(best.current_a, "A", best.source, f"held for {seconds(START_S)}")
