"""Which outputs of programs are on in a state of the plan: those that what it runs needs, not those that drive only
what it turns off.

A program does what the state says. So an output is off where nothing that the state runs follows it and something does
that the state turns off; or where nothing follows it and it would take the power from something that is on. What a
state does not name is on, and a motor holds still: one without a drive, or told to run by a contact, is then off. A
lamp or a fan that no state names does not keep an output on. Where the plan says nothing of what follows an output, it
is on: most current flows so, and each proof of a stop tries it both ways from the stop on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from enum import IntEnum
from functools import cached_property

from msgspec import Struct, field

from wiring.circuit.axes import Axis
from wiring.circuit.reversing import reversals
from wiring.design.machine import Machine
from wiring.design.motor.demands import worked_operators
from wiring.design.switching.followers import Following, Taking
from wiring.design.switching.reachable import Reachability
from wiring.disjoint_sets import joined
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.motors import Brake, Shaft
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.plan.models import StateEntry
from wiring.solver.assembly import Actuator
from wiring.solver.settling import program_outputs

Entries = Mapping[str, StateEntry]


class _Wanted(IntEnum):
    """What a state wants of something that takes power; MAY is on, but for nothing of weight."""

    OFF = 0
    MAY = 1
    ON = 2


class Outputs(Struct, frozen=True, dict=True):
    """The outputs of programs of a machine in its states."""

    machine: Machine
    reachability: Reachability
    known: dict[frozenset[Actuator], Following] = field(default_factory=dict)

    @cached_property
    def every(self) -> frozenset[Actuator]:
        """All of them."""
        return program_outputs(self.machine.circuit)

    def on_in(self, entries: Entries) -> frozenset[Actuator]:
        """The outputs that are on in a state."""
        following = self.following(worked_operators(self.machine.circuit, entries))
        said = {one: self._is_on(one, following, entries) for one in self.every}
        unsaid = [one for one, word in said.items() if word is None]
        off = {one for group in _groups(following, unsaid) for one in group if self._is_off(group, following, entries)}
        return self.not_at_once(frozenset(one for one, word in said.items() if word is not False) - off)

    def not_at_once(self, on: frozenset[Actuator]) -> frozenset[Actuator]:
        """The same without those that would close a contactor beside another one with which it shorts lines: a program
        that has both on is told by itself, and no state is meant so."""
        by_coil: dict[str, set[Actuator]] = {}
        for one in on:
            for taking in self.following().needing(one):
                if taking.moves:
                    by_coil.setdefault(taking.part, set()).add(one)
        for pair in reversals(self.machine.circuit):
            first, second = (by_coil.get(name, set()) & on for name in (pair.first, pair.second))
            on -= second - first if first else set()
        return on

    def following(self, worked: frozenset[Actuator] = frozenset()) -> Following:
        """What follows what while some operators stand worked."""
        if worked not in self.known:
            self.known[worked] = Following(self.reachability, worked)
        return self.known[worked]

    def _is_on(self, output: Actuator, following: Following, entries: Entries) -> bool | None:
        """Whether an output is on in a state; None where it says nothing of what hangs on that output alone."""
        part = self.machine.parts[output[0]]
        if output[0] in entries and entries[output[0]].mode == "off":
            return False
        if isinstance(part.data, Drive) and output[1] in [f"output {a}" for a, _ in part.data.brake_outputs()]:
            return self._of_motors(self.machine.axes[part.name], entries, told=False) is not _Wanted.OFF
        with_it = {wanted for one in following.needing(output) for wanted in self._wanted(one, entries)}
        if _Wanted.ON in with_it:
            return True
        if _Wanted.OFF in with_it:
            return False
        without = {wanted for one in following.barred_by(output) for wanted in self._wanted(one, entries)}
        return False if _Wanted.ON in without else None

    def _is_off(self, group: Set[Actuator], following: Following, entries: Entries) -> bool:
        """Whether a state turns off what some outputs feed, each past the others, and runs none of it."""
        with_any = {wanted for one in following.dead_without(group) for wanted in self._wanted(one, entries)}
        return _Wanted.OFF in with_any and _Wanted.ON not in with_any

    def _wanted(self, one: Taking, entries: Entries) -> Iterator[_Wanted]:
        part = self.machine.parts[one.part]
        entry = entries.get(one.part)
        if isinstance(part.data, Shaft):
            yield _Wanted.ON if _runs(entries, part) else _Wanted.OFF
        elif entry is not None:
            yield _Wanted.OFF if entry.mode == "off" else _Wanted.ON
        elif isinstance(part.data, Drive):
            yield self._of_motors(self.machine.axes[one.part], entries, told=one.told)
        elif not (one.feeds or isinstance(part.data, Coiled | SafetyRelay)):  # these only lead on to others
            weighs = part.data.is_hazard() or part.data.may_be_hazard() or isinstance(part.data, Brake)
            yield _Wanted.ON if weighs else _Wanted.MAY

    @staticmethod
    def _of_motors(axis: Axis, entries: Entries, *, told: bool) -> _Wanted:
        """What a state wants of the power of a drive, or of what tells it to run; a motor that holds takes power."""
        modes = [entry.mode if (entry := entries.get(motor.name)) is not None else "hold" for motor in axis.motors]
        still = ("off", "hold") if told else ("off",)
        return _Wanted.OFF if modes and all(mode in still for mode in modes) else _Wanted.ON


def _runs(entries: Entries, motor: Part) -> bool:
    return motor.name in entries and entries[motor.name].mode not in ("off", "hold")


def _groups(following: Following, outputs: Sequence[Actuator]) -> Iterator[frozenset[Actuator]]:
    """Outputs that feed something only together, each past the others."""
    moved = {one: {one, *((t.part, t.moves) for t in following.needing(one) if t.moves)} for one in outputs}
    lost = following.dead_without(outputs)
    sharing = [[one for one in outputs if following.near[taking] & moved[one]] for taking in lost]
    piece = joined(outputs, [(some[0], other) for some in sharing for other in some[1:]])
    for root in sorted(set(piece.values())):
        yield frozenset(one for one in outputs if piece[one] == root)
