"""The protective devices of a machine, and which of them limits the current of each conductor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from wiring.design.guards import Guard, find_guards
from wiring.design.machine import Machine


@dataclass(frozen=True)
class ProtectiveDevices:
    """What limits currents, known before any state is solved."""

    machine: Machine

    @cached_property
    def guards(self) -> Mapping[str, Guard]:
        """What limits the current of every conductor."""
        return find_guards(self.machine.circuit, self.machine.axes)
