"""What flows for a moment: at switching on, into capacitors, back from braking axes; and rails without regulation."""

from __future__ import annotations

from functools import cached_property

from msgspec import Struct

from wiring.design.fault.faults import Faults
from wiring.design.machine import Machine
from wiring.design.motor.braking import BrakingDuty, braking_duties
from wiring.design.motor.regeneration import Bus, braking_buses
from wiring.design.operation import Operation
from wiring.design.supply.unregulated import Unregulated, unregulated_rails
from wiring.design.switching.capacitor_inrush import CapacitorInrush, capacitor_inrushes
from wiring.design.switching.inrush import Inrush, inrushes


class Transients(Struct, frozen=True, dict=True):
    """Currents and voltages that no operating point shows."""

    machine: Machine
    operation: Operation
    faults: Faults

    @cached_property
    def inrushes(self) -> tuple[Inrush, ...]:
        """What every part draws from the mains for a moment when it is switched on."""
        return inrushes(self.machine, self.faults.short_circuits.paths)

    @cached_property
    def capacitor_inrushes(self) -> tuple[CapacitorInrush, ...]:
        """Every contact that closes onto empty capacitors."""
        return capacitor_inrushes(self.machine, self.faults.short_circuits)

    @cached_property
    def buses(self) -> tuple[Bus, ...]:
        """Every DC bus that braking axes feed back into, state by state."""
        return braking_buses(self.machine, self.operation, self.faults.short_circuits)

    @cached_property
    def braking_duties(self) -> tuple[BrakingDuty, ...]:
        """The duty of every braking resistor that is wired to a drive with an axis."""
        return braking_duties(self.machine, self.buses)

    @cached_property
    def unregulated(self) -> tuple[Unregulated, ...]:
        """Rails behind rectifiers: no-load voltage and ripple."""
        return unregulated_rails(self.machine, self.operation, self.faults.short_circuits)
