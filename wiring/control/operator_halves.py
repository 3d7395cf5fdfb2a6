"""Positions of the other operators as cases of the screen, and what a run of some of them shows."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from functools import reduce
from operator import or_
from typing import NamedTuple

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.control.bits import On, mask
from wiring.control.fault_record import Fault
from wiring.control.in_step import Steps, Wanted, run_width
from wiring.control.inject import Case, Order
from wiring.control.net import Net
from wiring.control.parallel_fault_simulation import SimulationResult
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse, other_operators, springing_back
from wiring.solver.assembly import Actuator

#: Operators that stand otherwise than in the running machine.
Changed = frozenset[Actuator]
AT_REST: Changed = frozenset()
#: Targets that the machine without a fault leaves alive, by moment.
Alive = Mapping[Moment, set[str]]


class Half(NamedTuple):
    """Some positions of one fault: the `changed` operators are moved, the `free` ones may stand anywhere."""

    device: str
    fault: str
    changed: Changed
    free: Changed


#: A device and a fault by its name.
Named = tuple[str, str]
#: How everything answers, in each order of the coils.
Answers = tuple[Hashable, ...]


class Seen(Struct, frozen=True):
    """What a position does: certain or open, when, what is alive, why logic leaves it open, and what answers."""

    changed: Changed
    certain: bool
    race: bool
    restless: bool
    short: bool
    alive: tuple[tuple[Moment, str], ...]
    answers: Answers

    @property
    def first(self) -> tuple[Moment | None, tuple[str, ...]]:
        """The first moment at which anything is alive, and what."""
        moment = self.alive[0][0] if self.alive else None
        return moment, tuple(name for at, name in self.alive if at is moment)


class Tried(Struct, frozen=True):
    """Faults by name under one device; `taken` is not counted. `unruly` are faults that logic is known to leave open
    with all operators free, for another reason than their positions. `without_volts`: coils that each lets go."""

    faults: Mapping[str, tuple[Fault, ...]]
    taken: Alive
    unruly: frozenset[str] = frozenset()
    without_volts: Mapping[str, frozenset[Actuator]] = field(default_factory=dict)


class Trials(Struct, frozen=True):
    """What is tried under each device, all of it in the same runs. `held`: hands stay on what springs back, which alone
    is worked; `while_stopped`: the faults appear with the stop in."""

    net: Net
    use: StopUse
    tried: Mapping[str, Tried]
    orders: Sequence[Order]
    moments: Sequence[Moment] = MUST_BE_DEAD
    held: bool = False
    while_stopped: bool = False

    def others(self, device: str) -> Changed:
        """The operators that may stand anywhere under a device: those that move something in the net."""
        moved = {path.moved_by for path in self.net.paths}
        others = frozenset(one for one in other_operators(self.use, device) if one in moved)
        return others & springing_back(self.use.operators) if self.held else others

    def case(self, half: Half) -> Case:
        """A half as a case of the screen."""
        tried = self.tried[half.device]
        return Case(
            half.device,
            tried.faults[half.fault],
            changed=half.changed,
            free=half.free,
            held=self.held,
            while_stopped=self.while_stopped,
            without_volts=tried.without_volts.get(half.fault, frozenset()),
        )

    def whole(self) -> list[Half]:
        """Every fault with all operators free, but for those that are known to be unruly so."""
        known = self.unruly()
        return [
            Half(device, name, AT_REST, self.others(device))
            for device, one in self.tried.items()
            for name in one.faults
            if (device, name) not in known
        ]

    def unruly(self) -> set[Named]:
        """The faults that need no look with operators free: logic is known to leave them open then."""
        return {(device, name) for device, one in self.tried.items() if self.others(device) for name in one.unruly}


class View:
    """The run of some halves in each order of the coils: which are open, which certain."""

    def __init__(self, trials: Trials, result: SimulationResult, halves: Sequence[Half], orders: int) -> None:
        self.result, self.count, self.orders = result, len(halves), orders
        self.answered: dict[int, Answers] = {}
        wanted = {target.name for target in trials.use.targets}
        under = {
            device: mask((n for n, half in enumerate(halves) if half.device == device), self.count)
            for device in trials.tried
        }
        self.rows = [
            (moment, target.name, self._counted(result.seen[moment].targets[n], counted))
            for moment in trials.moments
            for n, target in enumerate(trials.net.targets)
            if target.name in wanted
            and (counted := [under[name] for name, one in trials.tried.items() if target.name not in one.taken[moment]])
        ]
        self.restless, self.short = (self._in_any(bits) for bits in (result.unstable, result.collapsing))
        self.race = sure = perhaps = 0
        for _, _, ons in self.rows:
            for on in ons:
                sure, perhaps = sure | on[0], perhaps | on[1]
                self.race |= (on[0] ^ ons[0][0]) | (on[1] ^ ons[0][1])
        self.certain = sure & ~self.short
        self.unruly = self.restless | self.short & perhaps | self.race
        self.open = perhaps | self.unruly

    def _slices(self, bits: int) -> list[int]:
        every = (1 << self.count) - 1
        return [bits >> k * self.count & every for k in range(self.orders)]

    def _in_any(self, bits: int) -> int:
        return reduce(or_, self._slices(bits))

    def _counted(self, on: On, counted: Sequence[int]) -> list[On]:
        """A target in each order, in the cases in which it counts."""
        cases = reduce(or_, counted)
        return [(s & cases, p & cases) for s, p in zip(self._slices(on[0]), self._slices(on[1]), strict=True)]

    def answers(self, n: int) -> Answers:
        """How everything answers in a half, in every order."""
        if n not in self.answered:
            self.answered[n] = tuple(self.result.answers(k * self.count + n) for k in range(self.orders))
        return self.answered[n]

    def seen(self, n: int, changed: Changed) -> Seen:
        """One half that is at its end."""
        certain = bool(self.certain >> n & 1)
        half = 0 if certain else 1
        alive = tuple((moment, name) for moment, name, ons in self.rows if any(on[half] >> n & 1 for on in ons))
        race, restless, short = (bool(bits >> n & 1) for bits in (self.race, self.restless, self.short))
        return Seen(changed, certain, race, restless, short, alive, self.answers(n))


def looked_at(
    trials: Trials, halves: Sequence[Half], orders: Sequence[Order] | None = None
) -> Steps[list[tuple[View, int, Half]]]:
    """The halves that are open, each with its place in a view; in every order, or in some."""
    if not halves:
        return []
    chosen = trials.orders if orders is None else orders
    width = max(run_width(trials.net) // len(chosen), 1)
    chunks = [halves[start : start + width] for start in range(0, len(halves), width)]
    results = yield [
        Wanted(trials.net, trials.use, [replace(trials.case(half), order=order) for order in chosen for half in chunk])
        for chunk in chunks
    ]
    views = [View(trials, result, chunk, len(chosen)) for result, chunk in zip(results, chunks, strict=True)]
    return [
        (view, n, half)
        for view, chunk in zip(views, chunks, strict=True)
        for n, half in enumerate(chunk)
        if view.open >> n & 1
    ]
