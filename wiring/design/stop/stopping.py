"""The stops of a machine: what each removes, without a fault and under every single one, as far as logic tells."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.alive import is_alive
from wiring.control.fault_record import Fault
from wiring.control.faults import single_faults
from wiring.control.inject import Order
from wiring.control.mixtures import as_starts, mixtures
from wiring.control.net import Net, build_net
from wiring.control.screening import Unfaulted, screen_faults, screen_unfaulted
from wiring.control.script import StopUse, operators_of
from wiring.control.settle import settle_all
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.design.machine import Machine
from wiring.design.operation import ALL_ON, Operation
from wiring.design.stop.bypass_conductors import PastContacts, past_contacts
from wiring.design.stop.hazards import hazards
from wiring.design.stop.hidden_welds import HiddenWelds, hidden_welds, unseen_welds
from wiring.design.stop.records import StopProof, StopResult, merged
from wiring.design.stop.running_states import running_states, worked_while_running
from wiring.design.stop.stops import StopEffect, stop_effects, targets
from wiring.design.stop.uses import FromRunning, named_uses, results_of, targets_of, together
from wiring.effort import found_once, play_at_once, spend
from wiring.parts.drives import Drive
from wiring.parts.elements import Logic, Switch
from wiring.parts.operators import Guarding
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import program_outputs, with_coils

#: Runs of the sequence that are played for a check of one stop: 7 to 45 ms each, measured on the plans in `specs/` and
#: on machines of three phases with up to 508 nodes. Layers are kept between runs, so that nodes add little to a run.
_MOST_RUNS = 200


def _leaves_open(result: StopResult) -> bool:
    numbers = any(sound.by_numbers for sound in result.sound)
    return numbers or any(one.verdict is Verdict.UNDECIDED for one in result.verdicts)


def _named(actuators: Collection[Actuator]) -> str:
    return " and ".join(sorted({part for part, _ in actuators}))


class FromState(Struct, frozen=True, dict=True):
    """The stops as they are proved from one `state` of the plan, or, by its name, from one that lies `within` it."""

    machine: Machine
    within: str
    state: str
    running: OperatingPoint
    named: Sequence[StopUse]

    @cached_property
    @found_once
    def unfaulted(self) -> Unfaulted:
        """Every stop without a fault: contacts that never rest or race, and what starts the machine again."""
        whole = together(self.named)
        if not whole.devices or not whole.targets:
            return Unfaulted((), whole.starts)
        return screen_unfaulted(self.machine.lowered, whole)

    @cached_property
    def uses(self) -> tuple[StopUse, ...]:
        """The stops, each with the start devices that the whole machine needs."""
        known = self.unfaulted
        return tuple(replace(use, starts=known.starts, apart=known.apart) for use in self.named)

    @property
    def whole(self) -> StopUse:
        """All stops as one."""
        return together(self.uses)

    @property
    def orders(self) -> tuple[Order, ...]:
        """The orders of contacts in which the proof is made: several only where the outcome hangs on them."""
        return self.unfaulted.orders if self.unfaulted.races else self.unfaulted.orders[:1]

    @property
    def key(self) -> Hashable:
        """What logic knows of the state."""
        return tuple((use.worked, use.out, use.name) for use in self.named)


class Stopping(Struct, frozen=True, dict=True):
    """What stops the machine, and what may keep it from stopping."""

    machine: Machine
    operation: Operation

    @cached_property
    @found_once
    def _running(self) -> Mapping[str, OperatingPoint]:
        """The states that differ in what is worked, picked up or fed, that in which most is fed first."""
        machine = self.machine
        parts = {part.name: part for part in hazards(machine.circuit)}
        for stop in machine.plan.stops.values():
            parts |= {part.name: part for part in targets(machine.circuit, stop)}
        return running_states(machine, self.operation, targets_of(machine, [*parts.values()]))

    @cached_property
    @found_once
    def from_states(self) -> tuple[FromState, ...]:
        """The states from which faults are tried: all that differ in what is in or worked. One with less in is no
        milder: a seal outlives only the position in which an operator fed it, and break contacts are closed. Coils that
        may as well be out, or in, are tried so too."""
        states = [self._from(state, point, told=n > 0) for n, (state, point) in enumerate(self._running.items())]
        mixed = [
            self._from(f"{one.state} with {standing}", point, within=one.within)
            for one in states
            for standing, point in self._as_well(one)
        ]
        found: dict[Hashable, FromState] = {}
        for one in (*states, *mixed):
            found.setdefault((self._moving(one.running), worked_while_running(self.machine, one.running)), one)
        return tuple(found.values())

    def _moving(self, point: OperatingPoint) -> frozenset[Actuator]:
        """What is attracted and makes a difference to anything: the coil of a brake or a valve moves no contact."""
        parts = self.machine.parts
        return frozenset(
            one for one in point.attracted if parts[one[0]].of(Switch, Logic) or isinstance(parts[one[0]].data, Drive)
        )

    def _from(self, state: str, point: OperatingPoint, *, within: str = "", told: bool = True) -> FromState:
        named = named_uses(self.machine, point, state if told else "")
        return FromState(self.machine, within or state.removesuffix(ALL_ON), state, point, named)

    def _as_well(self, one: FromState) -> Iterator[tuple[str, OperatingPoint]]:
        """The mixtures of coils that hold themselves in or out in a state otherwise than the state has them, by how
        they stand, each with the machine so."""
        whole, running = together(one.named), one.running
        if not whole.devices or not whole.targets:
            return
        free, found = mixtures(build_net(self.machine.lowered, whole.targets), whole)
        real: dict[frozenset[Actuator], OperatingPoint] = {}
        for some in found:
            spend(len(self.machine.lowered.index))
            point = with_coils(running, running.attracted - free | some)
            if all(is_alive(target, point) for target in whole.targets if is_alive(target, running)):
                real.setdefault(point.attracted & free, point)
        real.pop(running.attracted & free, None)
        for some in as_starts(list(real), free, running.attracted & free):
            point = real[some]
            changed = {"out": running.attracted - point.attracted, "in": point.attracted - running.attracted}
            yield " and ".join(f"{_named(moved)} {way}" for way, moved in changed.items() if moved), point

    @property
    def other_states(self) -> Iterator[FromState]:
        """The states from which no fault is tried, as every coil that they hold in is so in one that is."""
        tried = {one.state for one in self.from_states}
        for state, point in self._running.items():
            if state not in tried:
                yield self._from(state, point)

    @cached_property
    @found_once
    def effects(self) -> tuple[StopEffect, ...]:
        """What every stop device removes, no fault assumed."""
        return stop_effects(self.machine.circuit, self.machine.axes, self.operation.proved, self._running)

    @cached_property
    def worked(self) -> frozenset[Actuator]:
        """The operators that stand worked while the machine runs."""
        return worked_while_running(self.machine, self._at_work)

    @cached_property
    def _at_work(self) -> OperatingPoint:
        """The state in which most of what can hurt is fed."""
        return self.from_states[0].running

    @cached_property
    def _first(self) -> Mapping[Hashable, FromState]:
        """Of the states that logic cannot tell from each other the first."""
        return {one.key: one for one in reversed(self.from_states)}

    @cached_property
    @found_once
    def unfaulted(self) -> Unfaulted:
        """Every stop of the machine without a fault: contacts that never rest or race, and what starts it again."""
        unrest = dict.fromkeys(pair for one in self._first.values() for pair in one.unfaulted.unrest)
        return replace(self.from_states[0].unfaulted, unrest=tuple(unrest))

    @cached_property
    def uses(self) -> tuple[StopUse, ...]:
        """The stops of a plan as the proof works them, from every state that differs."""
        return tuple(use for one in self.from_states for use in one.uses)

    @cached_property
    @found_once
    def past_contacts(self) -> tuple[PastContacts, ...]:
        """The conductors that lead past contacts which a stop opens."""
        return past_contacts(self.machine, self.proof.running, self.effects)

    def unclaimed_guards(self) -> Iterator[tuple[StopUse, OperatingPoint]]:
        """The guard switches that no stop names, worked on everything that can hurt in every state that differs;
        nothing when there are none."""
        machine = self.machine
        claimed = {device for stop in machine.plan.stops.values() for device in stop.devices}
        parts = [part for part in machine.parts.values() if isinstance(part.data, Guarding)]
        guards = tuple(part.name for part in parts if part.name not in claimed)
        targets = targets_of(machine, hazards(machine.circuit))
        operators = operators_of(machine.circuit)
        whole = StopUse("guards", 0, guards, self.unfaulted.starts, targets, operators)
        for one in self.from_states if guards and targets else ():
            state = "" if one.running is self._at_work else one.state
            yield replace(whole, worked=one.whole.worked, out=one.whole.out, state=state), one.running

    @cached_property
    @found_once
    def proof(self) -> StopProof:
        """What every single fault does to every stop, as far as logic tells without numbers: quick enough for every
        check. Faults that may be left out are left out."""
        logic = self.by_logic
        settled: dict[int, tuple[FaultVerdict, ...]] = {}  # stops that differ in name alone share their verdicts
        for result in logic.results.values():
            if id(result.verdicts) not in settled:
                settled[id(result.verdicts)] = self._settled(result).verdicts
        results = [replace(one, verdicts=settled[id(one.verdicts)]) for one in logic.results.values()]
        return replace(logic, results=merged(results))

    @cached_property
    @found_once
    def by_logic(self) -> StopProof:
        """The proof by logic, worked once: what stops do without a fault is known with it."""
        return self.proof_by_logic()

    def proof_by_logic(self) -> StopProof:
        """The proof before anything that logic leaves open is played in numbers."""
        running, whole = self._at_work, self.from_states[0].whole
        if not whole.devices or not whole.targets:
            return StopProof((), {}, running)
        # at least as many faults as conductors, and they are not even listed where that is too many
        play_at_once(len(whole.devices) * len(self.machine.circuit.conductors), self.machine.lowered.count)
        found = single_faults(self.machine.circuit)
        faults = tuple(fault for fault in found if not fault.excluded)
        left_out = tuple(fault for fault in found if fault.excluded)
        first = self._first
        alike = [one for one in self.from_states if first[one.key] is not one]
        proved, net = self._proved([one for one in self.from_states if first[one.key] is one], faults)
        open_ = [one for one in alike if any(map(_leaves_open, proved[first[one.key].state].values()))]
        more, _ = self._proved(open_, faults)
        by_state = proved | more
        results = {name: result for one in self.from_states for name, result in by_state.get(one.state, {}).items()}
        return StopProof(faults, results, running, net, False, left_out)

    def _proved(
        self, states: Sequence[FromState], faults: Sequence[Fault]
    ) -> tuple[dict[str, dict[str, StopResult]], Net | None]:
        """The results of some states, by state and stop, and the net in which the faults of the first were tried."""
        lowered = self.machine.lowered
        found = [
            FromRunning(one.uses, screen_faults(lowered, one.whole, faults, one.orders), one.running, one.orders)
            for one in states
        ]
        results = results_of(found, lowered, self.operation)
        by_state = {one.state: some for one, some in zip(states, results, strict=True)}
        return by_state, found[0].screenings[0].net if found else None

    def unlike(self, results: Mapping[str, StopResult]) -> Iterator[FromState]:
        """The states one by one while `results` grow, without those that logic cannot tell from one of which it leaves
        nothing open."""
        proved: dict[Hashable, FromState] = {}
        for one in self.from_states:
            like = proved.get(one.key)
            if like is None or any(_leaves_open(results[use.called]) for use in like.uses if use.called in results):
                yield one
                proved.setdefault(one.key, one)

    def from_state_of(self, result: StopResult) -> FromState:
        """The state from which a result was proved."""
        return next(one for one in self.from_states if one.running is result.running)

    def _settled(self, result: StopResult) -> StopResult:
        """What logic leaves open, played in numbers where that takes a few seconds at most; else it stays open."""
        programs = bool(program_outputs(self.machine.circuit))
        open_ = [one for one in result.verdicts if one.verdict is Verdict.UNDECIDED]
        plays = {(one.device, one.like or one.fault.id): max(len(one.positions), 1) for one in open_}
        if sum(plays.values()) * (1 + programs) > _MOST_RUNS:
            return result
        orders = self.from_state_of(result).orders
        done = iter(settle_all(open_, result.use, result.sound, result.running, programs, None, orders))
        verdicts = tuple(next(done) if one.verdict is Verdict.UNDECIDED else one for one in result.verdicts)
        return replace(result, verdicts=verdicts)

    @cached_property
    @found_once
    def hidden_welds(self) -> Mapping[str, HiddenWelds]:
        """By stop, faults of contactors and relays that stay unseen, each with the next ones that are dangerous."""
        return hidden_welds(self.machine, self.proof)

    @cached_property
    def unseen_welds(self) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
        """The same by part: contactors and relays, each with those whose failing next is dangerous."""
        return unseen_welds(self.proof, self.hidden_welds)
