"""The cabinet at work: its heat, its temperature, and whether devices bear it."""

from __future__ import annotations

from functools import cached_property

from msgspec import Struct

from wiring.design.enclosure.cabinet_temperature import Inside, inside_cabinet
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.rulebooks.enclosure import highest_inside


class Cabinet(Struct, frozen=True, dict=True):
    """The cabinet of a machine in its hottest state."""

    machine: Machine
    operation: Operation

    @cached_property
    def inside(self) -> Inside:
        """Heat in the cabinet and the temperature it leads to."""
        return inside_cabinet(self.machine, self.operation)

    @property
    def is_overheated(self) -> bool:
        """Whether the air in the cabinet is warmer than electronic devices stand."""
        inside = self.inside
        too_warm = inside.inside_c > highest_inside("electronic").value
        return inside.heat_w > 0.0 and inside.rise_k is not None and too_warm
