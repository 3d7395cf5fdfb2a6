"""The machine before anything is solved: plan, parts and circuit, and what follows from how they hang together."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from wiring.cabinet.positions import has_positions
from wiring.circuit.axes import Axes, find_axes
from wiring.circuit.model import Circuit, Node
from wiring.circuit.roles import Rail, Roles, find_roles
from wiring.design.conductor.parallel import Parallel, find_parallel
from wiring.design.conductor.wire_resistance import conductor_ohm
from wiring.design.connection.open_terminals import dead_end_terminals, open_terminals
from wiring.design.nets import Nets, find_nets
from wiring.design.plan_origin import PlanOrigins
from wiring.design.power_circuits import load_and_source_nodes, power_nodes, power_rails
from wiring.design.supply.rail_levels import Level, motor_levels, rail_levels
from wiring.parts.base import Part
from wiring.plan.models import PlanFile
from wiring.plan.read import Reading
from wiring.plan.source import Place
from wiring.rulebooks.book import Rulebook, rulebook
from wiring.rulebooks.limits import tabled
from wiring.solver.lowering import Lowered, lower

if TYPE_CHECKING:
    from wiring.cabinet.lengths import Courses

#: Ambient temperature taken where a plan gives none [°C]: that which every machine is made for.
ASSUMED_AMBIENT_C = tabled("iec", "ambient_max").value


class Topology(Struct, frozen=True, dict=True):
    """What hangs together in a circuit, whatever the sizes of its conductors and the ratings of its parts."""

    circuit: Circuit

    @cached_property
    def roles(self) -> Roles:
        """What every point of the network is for."""
        return find_roles(self.circuit)

    @cached_property
    def nets(self) -> Nets:
        """What is joined by metal alone, and the sources on it."""
        return find_nets(self.circuit, self.roles)

    @cached_property
    def axes(self) -> Axes:
        """Drives with their motors."""
        return find_axes(self.circuit)

    @cached_property
    def drive_of(self) -> Mapping[str, Part]:
        """The drive of every motor that has one, by the name of the motor."""
        return {motor.name: axis.drive for axis in self.axes.values() for motor in axis.motors}

    @cached_property
    def leading_on(self) -> frozenset[Node]:
        """The wired terminals from which metal leads on to something."""
        return self.nets.joined - dead_end_terminals(self.circuit, self.nets)

    @cached_property
    def open_terminals(self) -> Mapping[str, Mapping[str, str]]:
        """By part, its open terminals that must be used, each with the wired one that needs it."""
        return open_terminals(self.circuit, self.nets, self.leading_on)

    @cached_property
    def levels(self) -> Mapping[Rail, Level]:
        """The voltage of every rail."""
        return rail_levels(self.nets, self.circuit.plan.mains)

    @cached_property
    def motor_levels(self) -> Mapping[Node, Level]:
        """The voltage that each drive puts on the nets of its motor conductors."""
        return motor_levels(self.axes.values(), self.nets)

    @cached_property
    def power_rails(self) -> frozenset[Rail]:
        """The rails on which loads that take power hang."""
        return power_rails(self.circuit, self.roles)

    @cached_property
    def power_nodes(self) -> frozenset[Node]:
        """The points of power circuits, between a source and the loads that take power."""
        return power_nodes(self.circuit, self.roles)

    @cached_property
    def load_and_source_nodes(self) -> frozenset[Node]:
        """The terminals of loads and sources: where current does not merely pass."""
        return load_and_source_nodes(self.circuit)


class Machine(Struct, frozen=True, dict=True):
    """One plan, resolved into parts and a circuit. `topology` may be that of the same circuit at other sizes."""

    reading: Reading
    plan: PlanFile
    parts: Mapping[str, Part]
    circuit: Circuit
    topology: Topology

    @staticmethod
    def of(reading: Reading, plan: PlanFile, parts: Mapping[str, Part], circuit: Circuit) -> Machine:
        """The machine of a plan with the topology of its circuit."""
        return Machine(reading, plan, parts, circuit, Topology(circuit))

    @cached_property
    def book(self) -> Rulebook:
        """The rulebook that the plan names."""
        return rulebook(self.plan.rulebook)

    @property
    def ambient_c(self) -> float:
        """Air temperature around the cabinet [°C], the assumed one where the plan gives none."""
        given = self.plan.site.ambient
        return ASSUMED_AMBIENT_C if given is None else given

    @cached_property
    def laid(self) -> Courses | None:
        """The layout of the cabinet that the plan gives with the ways of its conductors; None where it gives none."""
        if not has_positions(self.circuit):
            return None
        from wiring.cabinet.given import given_layout
        from wiring.cabinet.lengths import Courses

        return Courses(given_layout(self.circuit), self.circuit)

    @cached_property
    def overload_settings(self) -> dict[tuple[Node, str], float | None]:
        """What was found behind conductors, kept: setting of the overload device [A] by far end and conductor, whose
        name is "" where others lie beside it: the way beyond is the same for all of them."""
        return {}

    @cached_property
    def uses(self) -> dict[str, str]:
        """What conductors were found to be used for in their branches, kept: several rules ask for each."""
        return {}

    @cached_property
    def lowered(self) -> Lowered:
        """The circuit in numbers, every conductor at the ambient temperature."""
        return lower(self.circuit, lambda conductor: conductor_ohm(self.book, conductor, self.ambient_c))

    @cached_property
    def origins(self) -> PlanOrigins:
        """The entries of the plan that its conductors come from."""
        return PlanOrigins(self.reading, self.plan)

    @cached_property
    def parallel(self) -> Mapping[str, Parallel]:
        """Conductors between the same two terminals, by each of their names."""
        return find_parallel(self.circuit, self.book, self.ambient_c)

    @property
    def roles(self) -> Roles:
        """What every point of the network is for."""
        return self.topology.roles

    @property
    def open_terminals(self) -> Mapping[str, Mapping[str, str]]:
        """By part, its open terminals that must be used, each with the wired one that needs it."""
        return self.topology.open_terminals

    @property
    def nets(self) -> Nets:
        """What is joined by metal alone, and the sources on it."""
        return self.topology.nets

    @property
    def axes(self) -> Axes:
        """Drives with their motors."""
        return self.topology.axes

    @property
    def levels(self) -> Mapping[Rail, Level]:
        """The voltage of every rail."""
        return self.topology.levels

    @property
    def power_rails(self) -> frozenset[Rail]:
        """The rails on which loads that take power hang."""
        return self.topology.power_rails

    @property
    def power_nodes(self) -> frozenset[Node]:
        """The points of power circuits, between a source and the loads that take power."""
        return self.topology.power_nodes

    @property
    def load_and_source_nodes(self) -> frozenset[Node]:
        """The terminals of loads and sources: where current does not merely pass."""
        return self.topology.load_and_source_nodes

    def place(self, part: str, *path: str | int) -> Place:
        """Where a part, or a value of it, stands in the plan."""
        return self.reading.place("parts", part, *path)
