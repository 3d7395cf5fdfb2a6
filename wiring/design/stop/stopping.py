"""The stops of a machine: what each removes, without a fault and under every single one, as far as logic tells."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.faults import single_faults
from wiring.control.inject import Order
from wiring.control.screening import Unfaulted, screen_faults, screen_unfaulted
from wiring.control.script import StopUse, operators_of
from wiring.control.settle import settle_all
from wiring.control.verdicts import Verdict
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.stop.bypass_conductors import PastContacts, past_contacts
from wiring.design.stop.hazards import hazards
from wiring.design.stop.hidden_welds import HiddenWelds, hidden_welds, unseen_welds
from wiring.design.stop.records import StopProof, StopResult
from wiring.design.stop.stops import StopEffect, stop_effects
from wiring.design.stop.uses import (
    named_uses,
    results_of,
    running_point,
    targets_of,
    together,
    worked_while_running,
)
from wiring.parts.operators import GuardSwitch
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import program_outputs

#: Runs of the sequence that are played for a check of one stop: 7 to 45 ms each, measured on the plans in `specs/` and
#: on machines of three phases with up to 508 nodes. Layers are kept between runs, so that nodes add little to a run.
_MOST_RUNS = 200


class Stopping(Struct, frozen=True, dict=True):
    """What stops the machine, and what may keep it from stopping."""

    machine: Machine
    operation: Operation

    @cached_property
    def effects(self) -> tuple[StopEffect, ...]:
        """What every stop device removes, no fault assumed."""
        return stop_effects(self.machine.circuit, self.machine.axes, self.operation.states)

    @cached_property
    def worked(self) -> frozenset[Actuator]:
        """The operators that stand worked while the machine runs."""
        return worked_while_running(self.machine, self._at_work)

    @cached_property
    def _at_work(self) -> OperatingPoint:
        """The state in which most of what can hurt is fed."""
        return running_point(self.operation, targets_of(self.machine, hazards(self.machine.circuit)))

    @cached_property
    def unfaulted(self) -> Unfaulted:
        """Every stop of the machine without a fault: contacts that never rest or race, and what starts it again."""
        whole = together(named_uses(self.machine, self._at_work))
        if not whole.devices or not whole.targets:
            return Unfaulted((), whole.starts)
        return screen_unfaulted(self.machine.lowered, whole)

    @cached_property
    def uses(self) -> tuple[StopUse, ...]:
        """The stops of a plan as the proof works them, each with the start devices that the whole machine needs."""
        found, known = named_uses(self.machine, self._at_work), self.unfaulted
        return tuple(replace(use, starts=known.starts, apart=known.apart) for use in found)

    @cached_property
    def past_contacts(self) -> tuple[PastContacts, ...]:
        """The conductors that lead past contacts which a stop opens."""
        return past_contacts(self.machine, self.proof.running, self.effects)

    @property
    def unclaimed_guards(self) -> StopUse | None:
        """The guard switches that no stop names, worked on everything that can hurt; None when there are none."""
        machine = self.machine
        claimed = {device for stop in machine.plan.stops.values() for device in stop.devices}
        parts = [part for part in machine.parts.values() if isinstance(part.data, GuardSwitch)]
        guards = tuple(part.name for part in parts if part.name not in claimed)
        targets = targets_of(machine, hazards(machine.circuit))
        operators = operators_of(machine.circuit)
        return StopUse("guards", 0, guards, self.unfaulted.starts, targets, operators, self.worked) if guards else None

    @cached_property
    def proof(self) -> StopProof:
        """What every single fault does to every stop, as far as logic tells without numbers: quick enough for every
        check. Faults that may be left out are left out."""
        logic = self.proof_by_logic()
        settled = {name: self._settled(result, logic.running) for name, result in logic.results.items()}
        return replace(logic, results=settled)

    @property
    def orders(self) -> tuple[Order, ...]:
        """The orders of contacts in which the proof is made: several only where the outcome hangs on them."""
        return self.unfaulted.orders if self.unfaulted.races else self.unfaulted.orders[:1]

    def proof_by_logic(self) -> StopProof:
        """The proof before anything that logic leaves open is played in numbers."""
        whole = together(self.uses)
        running = running_point(self.operation, whole.targets)
        if not whole.devices or not whole.targets:
            return StopProof((), {}, running)
        found = single_faults(self.machine.circuit)
        faults = tuple(fault for fault in found if not fault.excluded)
        left_out = tuple(fault for fault in found if fault.excluded)
        screenings = screen_faults(self.machine.lowered, whole, faults, self.orders)
        results = results_of(self.uses, self.machine.lowered, screenings, self.operation, running, self.orders)
        return StopProof(faults, results, running, screenings[0].net, False, left_out)

    def _settled(self, result: StopResult, running: OperatingPoint) -> StopResult:
        """What logic leaves open, played in numbers where that takes a few seconds at most; else it stays open."""
        programs = bool(program_outputs(self.machine.circuit))
        open_ = [one for one in result.verdicts if one.verdict is Verdict.UNDECIDED]
        plays = {(one.device, one.like or one.fault.id): max(len(one.positions), 1) for one in open_}
        if sum(plays.values()) * (1 + programs) > _MOST_RUNS:
            return result
        done = iter(settle_all(open_, result.use, result.sound, running, programs, None, self.orders))
        verdicts = tuple(next(done) if one.verdict is Verdict.UNDECIDED else one for one in result.verdicts)
        return replace(result, verdicts=verdicts)

    @cached_property
    def hidden_welds(self) -> Mapping[str, HiddenWelds]:
        """By stop, faults of contactors and relays that stay unseen, each with the next ones that are dangerous."""
        return hidden_welds(self.machine, self.proof)

    @cached_property
    def unseen_welds(self) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
        """The same by part: contactors and relays, each with those whose failing next is dangerous."""
        return unseen_welds(self.proof, self.hidden_welds)
