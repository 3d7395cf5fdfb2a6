"""In which positions of the other operators something may be alive: all of them at once, halved until logic decides."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import combinations
from operator import or_
from typing import NamedTuple

from wiring.control.fault_record import Fault
from wiring.control.inject import Case, Order
from wiring.control.net import Net
from wiring.control.parallel_fault_simulation import ParallelSimulation, SimulationResult
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse, other_operators
from wiring.solver.assembly import Actuator

#: Operators that stand otherwise than in the running machine.
Changed = frozenset[Actuator]
AT_REST: Changed = frozenset()
#: Targets that the machine without a fault leaves alive, by moment.
Alive = Mapping[Moment, set[str]]
#: Halves of one fault that may be open at once; where there are more, logic does not end, and one and two operators are
#: tried in their stead.
_MOST = 64
#: Faults that are asked by which operator to halve, for all whose operators stand alike.
_ASKED = 4
#: Cases in one run, over all its sources.
_WIDTH = 120_000


class Half(NamedTuple):
    """Some positions of one fault: the `changed` operators are moved, the `free` ones may stand anywhere."""

    fault: str
    changed: Changed
    free: Changed


@dataclass(frozen=True, slots=True)
class Seen:
    """What a position does: certain or open, when, what is alive, why logic leaves it open, and what answers."""

    changed: Changed
    certain: bool
    race: bool
    restless: bool
    short: bool
    alive: tuple[tuple[Moment, str], ...]
    answers: Hashable

    @property
    def first(self) -> tuple[Moment | None, tuple[str, ...]]:
        """The first moment at which anything is alive, and what."""
        moment = self.alive[0][0] if self.alive else None
        return moment, tuple(name for at, name in self.alive if at is moment)


@dataclass(frozen=True, slots=True)
class Search:
    """The positions of each fault in which something is or may be alive, the fewest operators first. Of a fault that is
    `cut_off` only those with one or two operators worked."""

    seen: Mapping[str, Sequence[Seen]]
    cut_off: frozenset[str]


@dataclass(frozen=True)
class Trials:
    """Faults by name under one device. `taken` is not counted; `held`: hands stay on what springs back, which alone is
    worked; `while_stopped`: the faults appear with the stop in."""

    net: Net
    use: StopUse
    device: str
    faults: Mapping[str, tuple[Fault, ...]]
    taken: Alive
    orders: Sequence[Order]
    moments: Sequence[Moment] = MUST_BE_DEAD
    held: bool = False
    while_stopped: bool = False

    @property
    def others(self) -> Changed:
        """The operators that may stand anywhere: those that move something in the net."""
        moved = {path.moved_by for path in self.net.paths}
        springs = {one.actuator for one in self.use.operators if one.springs_back}
        others = moved & set(other_operators(self.use, self.device))
        return frozenset(others & springs if self.held else others)

    def case(self, half: Half) -> Case:
        """A half as a case of the screen."""
        return Case(self.device, self.faults[half.fault], changed=half.changed, free=half.free, held=self.held)


class _View:
    """The runs of some halves, one for each order: which are open, which certain."""

    def __init__(self, trials: Trials, runs: Sequence[SimulationResult]) -> None:
        self.runs = runs
        wanted = {target.name for target in trials.use.targets}
        self.rows = [
            (moment, target.name, [run.seen[moment].targets[n] for run in runs])
            for moment in trials.moments
            for n, target in enumerate(trials.net.targets)
            if target.name in wanted and target.name not in trials.taken[moment]
        ]
        self.restless = reduce(or_, (run.unstable for run in runs))
        self.short = reduce(or_, (run.collapsing for run in runs))
        self.race = sure = perhaps = 0
        for _, _, ons in self.rows:
            for on in ons:
                sure, perhaps = sure | on[0], perhaps | on[1]
                self.race |= (on[0] ^ ons[0][0]) | (on[1] ^ ons[0][1])
        self.certain = sure & ~self.short
        self.open = perhaps | self.restless | self.short | self.race

    def seen(self, n: int, changed: Changed) -> Seen:
        """One half that is at its end."""
        certain = bool(self.certain >> n & 1)
        half = 0 if certain else 1
        alive = tuple((moment, name) for moment, name, ons in self.rows if any(on[half] >> n & 1 for on in ons))
        told = [bool(bits >> n & 1) for bits in (self.race, self.restless, self.short)]
        return Seen(changed, certain, *told, alive, tuple(run.answers(n) for run in self.runs))


def search_positions(trials: Trials) -> Search:
    """Every position in which something may be alive, by halves: one operator after the other at rest and worked.

    What is dead wherever the other operators stand is dead in each of their positions; what is alive so is alive with
    them at rest.
    """
    found: dict[str, list[Seen]] = {name: [] for name in trials.faults}
    cut_off: set[str] = set()
    halves = [Half(name, AT_REST, trials.others) for name in trials.faults]
    while halves:
        ahead = []
        for view, n, half in _looked_at(trials, halves):
            if view.certain >> n & 1 or not half.free:
                found[half.fault].append(view.seen(n, half.changed))
            else:
                ahead.append(half)
        cut_off |= _too_many(ahead)
        halves = _halved(trials, [half for half in ahead if half.fault not in cut_off])
    for name, some in _one_and_two(trials, sorted(cut_off)).items():
        known = {one.changed for one in some}
        found[name] = [*some, *(one for one in found[name] if one.certain and one.changed not in known)]
    told = {name: sorted(some, key=lambda one: (len(one.changed), sorted(one.changed))) for name, some in found.items()}
    return Search(told, frozenset(cut_off))


def _looked_at(trials: Trials, halves: Sequence[Half]) -> Iterator[tuple[_View, int, Half]]:
    """The halves that are open, each with its place in a view."""
    width = max(_WIDTH // max(len(trials.net.sources), 1), 1)
    for start in range(0, len(halves), width):
        chunk = halves[start : start + width]
        cases = [trials.case(half) for half in chunk]
        view = _View(trials, [_run(trials, cases, order) for order in trials.orders])
        yield from ((view, n, half) for n, half in enumerate(chunk) if view.open >> n & 1)


def _run(trials: Trials, cases: Sequence[Case], order: Order) -> SimulationResult:
    ordered = [replace(case, order=order) for case in cases]
    return ParallelSimulation(trials.net, ordered, trials.use, while_stopped=trials.while_stopped).run()


def _too_many(halves: Iterable[Half]) -> set[str]:
    counts: dict[str, int] = {}
    for half in halves:
        counts[half.fault] = counts.get(half.fault, 0) + 1
    return {name for name, count in counts.items() if count > _MOST}


def _halved(trials: Trials, halves: Sequence[Half]) -> list[Half]:
    """Every half in two, by the operator that leaves the fewest of some of them open."""
    alike: dict[tuple[Changed, Changed], list[Half]] = {}
    for half in halves:
        alike.setdefault((half.changed, half.free), []).append(half)
    asked = [
        (piece, actuator)
        for (_, free), some in alike.items()
        for actuator in sorted(free)
        for half in some[:_ASKED]
        for piece in _pieces(half, actuator)
    ]
    open_: dict[tuple[Changed, Changed, Actuator], int] = {}
    by = dict.fromkeys(piece for piece, _ in asked)
    still = {half for _, _, half in _looked_at(trials, list(by))}
    for piece, actuator in asked:
        key = piece.changed - {actuator}, piece.free | {actuator}, actuator
        open_[key] = open_.get(key, 0) + (piece in still)
    found = []
    for (changed, free), some in alike.items():
        best = min(sorted(free), key=lambda actuator: open_[changed, free, actuator])
        found += [piece for half in some for piece in _pieces(half, best)]
    return found


def _pieces(half: Half, actuator: Actuator) -> tuple[Half, Half]:
    free = half.free - {actuator}
    return half._replace(free=free), half._replace(changed=half.changed | {actuator}, free=free)


def _one_and_two(trials: Trials, names: Sequence[str]) -> dict[str, list[Seen]]:
    """The open positions with no, one and two operators worked."""
    some = sorted(trials.others)
    moved = [AT_REST, *(frozenset(pair) for size in (1, 2) for pair in combinations(some, size))]
    found: dict[str, list[Seen]] = {name: [] for name in names}
    for view, n, half in _looked_at(trials, [Half(name, changed, AT_REST) for name in names for changed in moved]):
        found[half.fault].append(view.seen(n, half.changed))
    return found
