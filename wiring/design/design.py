"""The solved design: the subjects of one machine side by side, each computed once and only when asked."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Self

from msgspec import Struct

from wiring.circuit.axes import Axes
from wiring.circuit.model import Circuit
from wiring.circuit.roles import Rail, Roles
from wiring.control.screening import Unfaulted
from wiring.design.conductor.conductors import ConductorFigure, Loading
from wiring.design.conductor.load_drops import LoadDrop
from wiring.design.device.overcurrent_protection import Protection
from wiring.design.device.protective_devices import ProtectiveDevices
from wiring.design.earth.earthing import Earthing
from wiring.design.enclosure.cabinet import Cabinet
from wiring.design.enclosure.cabinet_temperature import Inside
from wiring.design.fault.faults import Faults
from wiring.design.fault.records import ShortCircuits
from wiring.design.machine import Machine
from wiring.design.motor.regeneration import Bus
from wiring.design.nets import Nets
from wiring.design.operation import Operation
from wiring.design.plan_origin import PlanOrigins
from wiring.design.stop.records import StopProof
from wiring.design.stop.stopping import Stopping
from wiring.design.stop.stops import StopEffect
from wiring.design.supply.power import Power
from wiring.design.supply.rail_levels import Level
from wiring.design.supply.supplies import SupplyFigure
from wiring.design.supply.unregulated import Unregulated
from wiring.design.switching.inrush import Inrush
from wiring.design.transients import Transients
from wiring.effort import Effort, shared_effort
from wiring.parts.base import Part
from wiring.plan.models import PlanFile, StateEntry
from wiring.plan.read import Reading
from wiring.plan.source import Place
from wiring.rulebooks.book import Rulebook
from wiring.solver.lowering import Lowered
from wiring.solver.operating import OperatingPoint


class Design(Struct, frozen=True, dict=True):
    """The subjects of one machine. Each knows only those before it; what is asked often can be asked here too."""

    machine: Machine
    operation: Operation
    cabinet: Cabinet
    power: Power
    devices: ProtectiveDevices
    loading: Loading
    faults: Faults
    transients: Transients
    earthing: Earthing
    stopping: Stopping

    @classmethod
    def of(
        cls,
        machine: Machine,
        *,
        operation: Operation | None = None,
        cabinet: Cabinet | None = None,
        power: Power | None = None,
        devices: ProtectiveDevices | None = None,
        faults: Faults | None = None,
        transients: Transients | None = None,
    ) -> Self:
        """The design of a machine. A subject that is given is taken as it stands, though another machine had it."""
        operation = operation or Operation(machine)
        cabinet = cabinet or Cabinet(machine, operation)
        devices = devices or ProtectiveDevices(machine)
        faults = faults or Faults(machine, operation, devices)
        return cls(
            machine,
            operation,
            cabinet,
            power or Power(machine, operation, cabinet),
            devices,
            Loading(machine, operation, cabinet, devices),
            faults,
            transients or Transients(machine, operation, faults),
            Earthing(machine, operation),
            Stopping(machine, operation),
        )

    @cached_property
    def effort(self) -> Effort:
        """What its judgement may still cost."""
        return shared_effort(self.reading.size)

    @property
    def reading(self) -> Reading:
        """The plan file as it was read."""
        return self.machine.reading

    @property
    def plan(self) -> PlanFile:
        """The plan."""
        return self.machine.plan

    @property
    def parts(self) -> Mapping[str, Part]:
        """The parts by their name."""
        return self.machine.parts

    @property
    def circuit(self) -> Circuit:
        """Plan and parts joined."""
        return self.machine.circuit

    @property
    def book(self) -> Rulebook:
        """The rulebook that the plan names."""
        return self.machine.book

    @property
    def origins(self) -> PlanOrigins:
        """The entries of the plan that its conductors come from."""
        return self.machine.origins

    @property
    def roles(self) -> Roles:
        """What every point of the network is for."""
        return self.machine.roles

    @property
    def nets(self) -> Nets:
        """What is joined by metal alone, and the sources on it."""
        return self.machine.nets

    @property
    def levels(self) -> Mapping[Rail, Level]:
        """The voltage of every rail."""
        return self.machine.levels

    @property
    def axes(self) -> Axes:
        """Drives with their motors."""
        return self.machine.axes

    @property
    def ambient_c(self) -> float:
        """Air temperature around the cabinet [°C], the assumed one where the plan gives none."""
        return self.machine.ambient_c

    @property
    def lowered(self) -> Lowered:
        """The circuit in numbers, every conductor at the ambient temperature."""
        return self.machine.lowered

    @property
    def state_entries(self) -> Mapping[str, Mapping[str, StateEntry]]:
        """The states of the plan; one with every motor at its work when it names none."""
        return self.operation.state_entries

    @property
    def states(self) -> Mapping[str, OperatingPoint]:
        """The operating point of every state, every axis that the state names at its work."""
        return self.operation.states

    @property
    def averages(self) -> Mapping[str, OperatingPoint]:
        """The same with every axis weighed by its duty: what heats the cabinet."""
        return self.operation.averages

    @property
    def peaks(self) -> Mapping[str, OperatingPoint]:
        """The same with every moving axis accelerating at once: what the DC rails carry for a moment."""
        return self.operation.peaks

    @property
    def inside(self) -> Inside:
        """Heat in the cabinet and the temperature it leads to."""
        return self.cabinet.inside

    @property
    def supplies(self) -> Mapping[str, Mapping[str, SupplyFigure]]:
        """For every supply and state: current, peak, what is available after derating."""
        return self.power.supplies

    @property
    def drops(self) -> Mapping[str, LoadDrop]:
        """What every load loses on the way from its source and back."""
        return self.power.drops

    @property
    def protections(self) -> Mapping[str, Protection]:
        """What limits the current of every conductor."""
        return self.devices.protections

    @property
    def conductors(self) -> Mapping[str, ConductorFigure]:
        """Current, ampacity, drop and temperature of every conductor."""
        return self.loading.figures

    @property
    def short_circuits(self) -> ShortCircuits:
        """Short circuits everywhere, and what every protective device and conductor sees of them."""
        return self.faults.short_circuits

    @property
    def inrushes(self) -> tuple[Inrush, ...]:
        """What every part draws from the mains for a moment when it is switched on."""
        return self.transients.inrushes

    @property
    def buses(self) -> tuple[Bus, ...]:
        """Every DC bus that braking axes feed back into, state by state."""
        return self.transients.buses

    @property
    def unregulated(self) -> tuple[Unregulated, ...]:
        """Rails behind rectifiers: no-load voltage and ripple."""
        return self.transients.unregulated

    @property
    def stops(self) -> tuple[StopEffect, ...]:
        """What every stop device removes, no fault assumed."""
        return self.stopping.effects

    @property
    def stop_proof(self) -> StopProof:
        """What every single fault does to every stop, as far as logic tells without numbers."""
        return self.stopping.proof

    @property
    def unfaulted(self) -> Unfaulted:
        """Every stop of the machine without a fault."""
        return self.stopping.unfaulted

    def place(self, part: str, *path: str | int) -> Place:
        """Where a part, or a value of it, stands in the plan."""
        return self.machine.place(part, *path)


def in_state(design: Design, state: str) -> Design:
    """The same design with one of its states only."""
    machine = design.machine
    return Design.of(machine, operation=Operation(machine, state), devices=design.devices)
