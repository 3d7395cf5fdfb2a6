"""The protective devices of a machine, and which of them limits the current of each conductor."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from wiring.design.device.devices import UPSTREAM, ProtectiveDevice, protective_device, upstream_device
from wiring.design.device.overcurrent_protection import Protection, find_protections
from wiring.design.machine import Machine
from wiring.rulebooks.breakers import USUAL_OPENING_S
from wiring.rulebooks.devices import Device


def _at_mains(one: ProtectiveDevice, half_cycle_s: float) -> ProtectiveDevice:
    return replace(one, device=replace(one.device, half_cycle_s=half_cycle_s)) if one.device else one


class ProtectiveDevices(Struct, frozen=True, dict=True):
    """What limits currents, known before any state is solved."""

    machine: Machine

    @cached_property
    def by_name(self) -> Mapping[str, ProtectiveDevice]:
        """The protective devices of the plan by their part, and that of the building where the plan knows it."""
        book, mains = self.machine.plan.rulebook, self.machine.plan.mains
        found = {name: device for name, part in self.machine.parts.items() if (device := protective_device(part, book))}
        if mains and mains.upstream:
            found[UPSTREAM] = upstream_device(mains.upstream, book)
        half_cycle_s = 0.5 / mains.frequency if mains and mains.frequency else USUAL_OPENING_S
        return {name: _at_mains(one, half_cycle_s) for name, one in found.items()}

    @cached_property
    def known(self) -> Mapping[str, Device]:
        """Those of which the plan tells enough to know when they open."""
        return {name: one.device for name, one in self.by_name.items() if one.device and not one.missing}

    @cached_property
    def protections(self) -> Mapping[str, Protection]:
        """What limits the current of every conductor."""
        return find_protections(self.machine.circuit, self.machine.axes, self.by_name)
