"""The stop proof of a plan: which stops there are, what each must make dead, and what every single fault does to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.control.script import Probe, StopUse, Target, start_devices
from wiring.design.hazards import probes_of
from wiring.design.stops import targets as stop_targets
from wiring.parts.base import Part
from wiring.parts.elements import Coil
from wiring.parts.motors import Brake, Shaft

if TYPE_CHECKING:
    from wiring.design.design import Design


def targets_of(design: Design, parts: list[Part]) -> tuple[Target, ...]:
    """The targets of parts: a motor by its drives, a vertical axis by its brake as well, anything else by itself."""
    found = [Target(part.name, probes_of(part, design.axes)) for part in parts]
    return tuple(target for target in found if target.probes)


def uses(design: Design) -> tuple[StopUse, ...]:
    """The stops of a plan as the proof works them."""
    found = []
    stop_devices = tuple(device for stop in design.plan.stops.values() for device in stop.devices)
    for name, stop in design.plan.stops.items():
        devices = tuple(device for device in stop.devices if device in design.parts)
        targets = targets_of(design, stop_targets(design.circuit, stop))
        starts = start_devices(design.circuit, stop.reset, stop_devices)
        found.append(StopUse(name, stop.category, devices, starts, targets))
    return tuple(found)
