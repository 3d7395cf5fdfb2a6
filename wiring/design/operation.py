"""The machine at work: the operating point of every state, at its work, on average and at its peaks."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.motor.demands import Demands, Moment, demands_in, worked_operators
from wiring.design.motor.measured_currents import with_measured_currents
from wiring.design.stop.hazards import is_live
from wiring.design.stop.starts import started
from wiring.design.switching.dead_control import dead_control
from wiring.design.switching.outputs import Outputs
from wiring.design.switching.reachable import Reachability
from wiring.effort import found_once, keep
from wiring.plan.models import StateEntry
from wiring.solver.assembly import Actuator, Position
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate, reload

#: What is added to the name of a state that is proved with all outputs of programs on beside the state itself.
ALL_ON = " with all outputs on"
#: The state that stands for a plan without states: every motor at its work.
UNNAMED_STATE = "work"


class Operation(Struct, frozen=True, dict=True):
    """The states of a machine, or `only_state` of them, solved when they are asked for."""

    machine: Machine
    only_state: str | None = None

    @cached_property
    def state_entries(self) -> Mapping[str, Mapping[str, StateEntry]]:
        """The states of the plan; one with every motor at its work when it names none. Measured currents count."""
        states = self.machine.plan.states
        if self.only_state is not None and self.only_state in states:
            states = {self.only_state: states[self.only_state]}
        elif not states:
            parts = self.machine.parts.items()
            states = {UNNAMED_STATE: {name: StateEntry(mode="run") for name, part in parts if part.data.is_motor}}
        if self.machine.plan.measured is None:
            return states
        return {name: with_measured_currents(self.machine, name, entries) for name, entries in states.items()}

    @cached_property
    def reachability(self) -> Reachability:
        """What can be picked up at all, from rest."""
        return Reachability(self.machine)

    @cached_property
    def outputs(self) -> Outputs:
        """The outputs of programs, and what follows them."""
        return Outputs(self.machine, self.reachability)

    @cached_property
    def outputs_on(self) -> Mapping[str, frozenset[Actuator]]:
        """The outputs of programs that are on in every state."""
        return {state: self.outputs.on_in(entries) for state, entries in self.state_entries.items()}

    def demands(self, state: str, moment: Moment) -> Demands:
        """What every load asks for in a state."""
        return demands_in(self.machine.circuit, self.machine.axes, self.state_entries[state], moment)

    @cached_property
    @found_once
    def states(self) -> Mapping[str, OperatingPoint]:
        """The operating point of every state, every axis that the state names at its work."""
        return self._solved(frozenset(), self.outputs_on)

    @cached_property
    @found_once
    def proved(self) -> Mapping[str, OperatingPoint]:
        """The points from which stops are proved: every state with all outputs of programs on, as a program may do
        anything; and as its outputs are, where alone that feeds something that the plan names or that can hurt."""
        every = dict.fromkeys(self.state_entries, self.outputs.not_at_once(self.outputs.every))
        most = self.states if every == self.outputs_on else self._solved(frozenset(), every)
        live = {state: self._live(point) for state, point in most.items()}
        fed = frozenset[str]().union(*live.values())
        some = {state: point for state, point in self.states.items() if self._live(point) - fed}

        def adds(state: str) -> bool:
            """Whether no other state has the same worked and feeds all that this one does."""
            by_hand = most[state].position.moved - most[state].attracted
            others = (one for one, point in most.items() if point.position.moved - point.attracted == by_hand)
            return not any(live[state] <= live[one] for one in others if one not in some)

        kept = {
            state + ALL_ON * (state in some): point for state, point in most.items() if state not in some or adds(state)
        }
        return {**kept, **some}

    def _live(self, point: OperatingPoint) -> frozenset[str]:
        """What the plan names, and what can hurt, of that which is fed at a point."""
        named = {name for entries in self.state_entries.values() for name in entries}
        parts = (part for name, part in self.machine.parts.items() if name in named or part.data.is_hazard())
        return frozenset(part.name for part in parts if is_live(part, self.machine.axes, point))

    @cached_property
    @found_once
    def loaded(self) -> Mapping[str, OperatingPoint]:
        """The same as it would be if nothing in the control circuits kept the machine dead in every state: a broken
        coil or stop relay takes current and heat away, and would hide what they do once it is mended."""
        dead = dead_control(self.machine, self.states.values())
        return self._solved(dead, self.outputs_on) if dead else self.states

    def _solved(
        self, forced: frozenset[Actuator], outputs: Mapping[str, frozenset[Actuator]]
    ) -> Mapping[str, OperatingPoint]:
        points: dict[str, OperatingPoint] = {}
        near = None
        for state, on in outputs.items():
            like = self._first_like[state]
            if like in points and outputs[like] == on:
                points[state] = points[like]
                continue
            keep(self.machine.lowered.count)
            near = points[state] = self._started(state, on | forced, self.first_guess(state, near))
        return points

    @cached_property
    def _first_like(self) -> Mapping[str, str]:
        """By state the first that says the same: a list pasted a hundred times is solved once."""
        first: dict[frozenset[tuple[str, StateEntry]], str] = {}
        return {
            state: first.setdefault(frozenset(entries.items()), state) for state, entries in self.state_entries.items()
        }

    def _started(self, state: str, held: frozenset[Actuator], guess: OperatingPoint | None) -> OperatingPoint:
        """The operating point of a state; where it leaves dead what it asks to run, with the start buttons pressed."""
        asked, entries = self.demands(state, Moment.WORK), self.state_entries[state]
        moved = held | worked_operators(self.machine.circuit, entries)

        def pressed(buttons: frozenset[Actuator], near: OperatingPoint | None = guess) -> OperatingPoint:
            position = Position(moved | buttons, frozenset(), asked.off, asked.demand)
            return operate(self.machine.lowered, position, near=near)

        point = pressed(frozenset())
        return started(self.machine, entries, point, pressed)

    def first_guess(self, state: str, before: OperatingPoint | None) -> OperatingPoint | None:
        """Where the search for the operating point of a state begins: at that of the state before it."""
        return before

    def _reloaded(self, moment: Moment, kinds: tuple[str, ...]) -> Mapping[str, OperatingPoint]:
        points: dict[str, OperatingPoint] = {}
        for state, point in self.loaded.items():
            like = self._first_like[state]
            if like in points and self.loaded[like] is point:
                points[state] = points[like]
                continue
            keep(self.machine.lowered.count)
            points[state] = reload(point, self.demands(state, moment).demand, kinds)
        return points

    @cached_property
    @found_once
    def averages(self) -> Mapping[str, OperatingPoint]:
        """The same with every axis weighed by its duty: what heats the cabinet."""
        return self._reloaded(Moment.AVERAGE, ("DC", "AC"))

    @cached_property
    @found_once
    def peaks(self) -> Mapping[str, OperatingPoint]:
        """The same with every moving axis accelerating at once: what the DC rails carry for a moment."""
        return self._reloaded(Moment.PEAK, ("DC",))
