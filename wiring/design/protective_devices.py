"""The protective devices of a machine, and which of them limits the current of each conductor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from wiring.design.machine import Machine
from wiring.design.overcurrent_protection import Protection, find_protections


@dataclass(frozen=True)
class ProtectiveDevices:
    """What limits currents, known before any state is solved."""

    machine: Machine

    @cached_property
    def protections(self) -> Mapping[str, Protection]:
        """What limits the current of every conductor."""
        return find_protections(self.machine.circuit, self.machine.axes)
