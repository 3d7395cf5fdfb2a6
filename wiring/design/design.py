"""The solved design: everything that a rule, a document or a report may ask, computed once and only when asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from wiring.circuit.axes import Axis, find_axes
from wiring.circuit.model import Circuit, Node
from wiring.circuit.roles import Rail, Roles, find_roles
from wiring.control.screening import Unfaulted
from wiring.design.conductors import ConductorFigure, conductor_figures, conductor_ohm
from wiring.design.demands import Demands, Moment, demands_in
from wiring.design.drops import LoadDrop, load_drops
from wiring.design.enclosure import Inside, inside_cabinet
from wiring.design.fault_records import ShortCircuits
from wiring.design.guards import Guard, find_guards
from wiring.design.inrush import Surge, surges
from wiring.design.levels import Level, rail_levels
from wiring.design.nets import Nets, find_nets
from wiring.design.parallel import Parallel, find_parallel
from wiring.design.power_use import power_nodes
from wiring.design.regeneration import Bus, braking_buses
from wiring.design.short_circuits import short_circuits
from wiring.design.stop_proof import StopProof, hidden_welds, screened_proof, unfaulted
from wiring.design.stops import StopEffect, stop_effects
from wiring.design.supplies import SupplyFigure, supply_figures
from wiring.design.unregulated import Unregulated, unregulated_rails
from wiring.design.use import power_rails
from wiring.design.written import Written, written_entries
from wiring.parts.base import Part
from wiring.plan.conductors import Cable
from wiring.plan.models import PlanFile, StateEntry
from wiring.plan.read import Reading
from wiring.plan.source import Place
from wiring.rulebooks.book import Rulebook, rulebook
from wiring.solver.assembly import Position
from wiring.solver.lowering import Lowered, lower
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate, program_outputs, reload

#: The state that stands for a plan without states: every motor at its work.
UNNAMED_STATE = "work"
#: Ambient temperature taken where a plan gives none [°C]: the rated ambient of IEC 60204-1, 4.4.3.
ASSUMED_AMBIENT_C = 40.0


@dataclass(frozen=True)
class Design:
    """One plan, resolved into parts and a circuit; the rest is computed on first use and kept."""

    reading: Reading
    plan: PlanFile
    parts: Mapping[str, Part]
    circuit: Circuit
    only_state: str | None = None

    @cached_property
    def book(self) -> Rulebook:
        """The rulebook that the plan names."""
        return rulebook(self.plan.rulebook)

    @cached_property
    def roles(self) -> Roles:
        """What every point of the network is for."""
        return find_roles(self.circuit)

    @cached_property
    def nets(self) -> Nets:
        """What is joined by metal alone, and the sources on it."""
        return find_nets(self.circuit, self.roles)

    @cached_property
    def levels(self) -> Mapping[Rail, Level]:
        """The voltage of every rail."""
        return rail_levels(self)

    @cached_property
    def axes(self) -> Mapping[str, Axis]:
        """Drives with their motors."""
        return find_axes(self.circuit)

    @property
    def ambient_c(self) -> float:
        """Air temperature around the cabinet [°C], the assumed one where the plan gives none."""
        given = self.plan.site.ambient
        return ASSUMED_AMBIENT_C if given is None else given

    @cached_property
    def lowered(self) -> Lowered:
        """The circuit in numbers, every conductor at the ambient temperature."""
        return lower(self.circuit, lambda conductor: conductor_ohm(self.book, conductor, self.ambient_c))

    @cached_property
    def state_entries(self) -> Mapping[str, Mapping[str, StateEntry]]:
        """The states of the plan; one with every motor at its work when it names none."""
        if self.only_state is not None and self.only_state in self.plan.states:
            return {self.only_state: self.plan.states[self.only_state]}
        if self.plan.states:
            return self.plan.states
        running = {name: StateEntry(mode="run") for name, part in self.parts.items() if part.data.is_motor}
        return {UNNAMED_STATE: running}

    def demands(self, state: str, moment: Moment) -> Demands:
        """What every load asks for in a state."""
        return demands_in(self.circuit, self.axes, self.state_entries[state], moment)

    @cached_property
    def states(self) -> Mapping[str, OperatingPoint]:
        """The operating point of every state, every axis that the state names at its work."""
        held = program_outputs(self.circuit)
        points: dict[str, OperatingPoint] = {}
        near = None
        for state in self.state_entries:
            asked = self.demands(state, Moment.WORK)
            near = operate(self.lowered, Position(held, frozenset(), asked.off, asked.demand), near=near)
            points[state] = near
        return points

    def _reloaded(self, moment: Moment, kinds: tuple[str, ...]) -> Mapping[str, OperatingPoint]:
        return {state: reload(point, self.demands(state, moment).demand, kinds) for state, point in self.states.items()}

    @cached_property
    def averages(self) -> Mapping[str, OperatingPoint]:
        """The same with every axis weighed by its duty: what heats the cabinet."""
        return self._reloaded(Moment.AVERAGE, ("DC", "AC"))

    @cached_property
    def peaks(self) -> Mapping[str, OperatingPoint]:
        """The same with every moving axis accelerating at once: what the DC rails carry for a moment."""
        return self._reloaded(Moment.PEAK, ("DC",))

    @cached_property
    def inside(self) -> Inside:
        """Heat in the cabinet and the temperature it leads to."""
        return inside_cabinet(self)

    @cached_property
    def supplies(self) -> Mapping[str, Mapping[str, SupplyFigure]]:
        """For every supply and state: current, peak, what is available after derating."""
        return supply_figures(self)

    @cached_property
    def guards(self) -> Mapping[str, Guard]:
        """What limits the current of every conductor."""
        return find_guards(self.circuit, self.axes)

    @cached_property
    def parallel(self) -> Mapping[str, Parallel]:
        """Conductors between the same two terminals, by each of their names."""
        return find_parallel(self)

    @cached_property
    def written(self) -> Mapping[str, Written]:
        """The entry of the plan that each conductor comes from."""
        return written_entries(self)

    @cached_property
    def cables(self) -> Mapping[str, Cable]:
        """The cables of the plan by their name."""
        return {cable.cable: cable for cable in self.plan.cables}

    @cached_property
    def power_rails(self) -> frozenset[Rail]:
        """The rails on which loads that take power hang."""
        return power_rails(self)

    @cached_property
    def power_nodes(self) -> frozenset[Node]:
        """The points of power circuits, between a source and the loads that take power."""
        return power_nodes(self)

    @cached_property
    def conductors(self) -> Mapping[str, ConductorFigure]:
        """Current, ampacity, drop and temperature of every conductor."""
        return conductor_figures(self)

    @cached_property
    def drops(self) -> Mapping[str, LoadDrop]:
        """What every load loses on the way from its source and back."""
        return load_drops(self)

    @cached_property
    def stops(self) -> tuple[StopEffect, ...]:
        """What every stop device removes, no fault assumed."""
        return stop_effects(self.circuit, self.axes, self.states)

    @cached_property
    def short_circuits(self) -> ShortCircuits:
        """Short circuits everywhere, and what every protective device and conductor sees of them."""
        return short_circuits(self)

    @cached_property
    def surges(self) -> tuple[Surge, ...]:
        """What every part draws from the mains for a moment when it is switched on."""
        return surges(self)

    @cached_property
    def buses(self) -> tuple[Bus, ...]:
        """Every DC bus that braking axes feed back into, state by state."""
        return braking_buses(self)

    @cached_property
    def unregulated(self) -> tuple[Unregulated, ...]:
        """Rails behind rectifiers: no-load voltage and ripple."""
        return unregulated_rails(self)

    @cached_property
    def stop_proof(self) -> StopProof:
        """What every single fault does to every stop, as far as logic tells without numbers."""
        return screened_proof(self)

    @cached_property
    def unfaulted(self) -> Unfaulted:
        """Every stop of the machine without a fault: contacts that never rest or race, and what starts it again."""
        return unfaulted(self)

    @cached_property
    def hidden_welds(self) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
        """By stop, faults of contactors and relays that stay unseen, each with the next ones that are dangerous."""
        return hidden_welds(self)

    def place(self, part: str, *path: str | int) -> Place:
        """Where a part, or a value of it, stands in the plan."""
        return self.reading.place("parts", part, *path)


def in_state(design: Design, state: str) -> Design:
    """The same design with one of its states only."""
    return replace(design, only_state=state)
