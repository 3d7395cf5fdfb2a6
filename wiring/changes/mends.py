"""The least changes that clear what an addition brings, each verified by solving the plan with it once more."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import dataclass, replace

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import AxisParts, find_axis, parts_of
from wiring.changes.follow_up import follow_up
from wiring.changes.mend_candidates import STAGGERED, Candidate, candidates, step_words
from wiring.changes.outcome import OF_LOADS, Outcome, Unreadable, is_about_stops, is_new, judged
from wiring.changes.tried import OF_SIZE
from wiring.changes.wanted import Addition, Wanted
from wiring.findings import Finding
from wiring.plan.fault import Refusal

#: How many changes are put together at most.
_TOGETHER = 4
#: How many of the best are followed at once, and how many trials are made in all.
_BEAM = 3
_TRIALS = 40
#: What is the least change: one of the program costs nothing, a second supply most.
_COST = {"state": 0, "device": 1, "conductor": 2, "fan": 3, "transformer": 4, "supply": 4, "second supply": 5}
Progress = Callable[[str], None]


@dataclass(frozen=True)
class Mend:
    """Changes on top of an addition. `words` says each; `left` are the new findings that stand with them.

    `outcome` is the plan with all of it, solved.
    """

    words: tuple[str, ...]
    cost: tuple[int, float]
    outcome: Outcome
    left: tuple[Finding, ...]

    @property
    def clears(self) -> bool:
        """Whether nothing new is left."""
        return not self.left

    @property
    def staggered(self) -> bool:
        """Whether it asks something of the program and not of the wiring alone."""
        return any(word.startswith(STAGGERED) for word in self.words)


def _tried(start: Mend, before: Outcome, one: Candidate, known: Container[frozenset[str]]) -> Iterator[Mend]:
    """The steps of a candidate until one leaves nothing that speaks of it; what is known is not solved again."""
    for words, size, edits in one.steps:
        if frozenset((*start.words, words)) in known:
            continue
        try:
            outcome = start.outcome.changed(edits)
        except (Unreadable, Refusal):
            continue
        cost = (max(start.cost[0], _COST[one.sort]), start.cost[1] + _COST[one.sort] + size / 10)
        mend = Mend((*start.words, words), cost, outcome, _left(before, outcome, start.left))
        yield mend
        if not any(f.rule in OF_SIZE and not set(f.subjects).isdisjoint(one.subjects) for f in mend.left):
            return


def new_findings(before: Outcome, after: Outcome) -> tuple[Finding, ...]:
    """What stands in the changed plan and did not in the first one."""
    return tuple(f for f in after.judged.findings if is_new(f, before.judged.findings))


def _left(before: Outcome, after: Outcome, stood: Sequence[Finding]) -> tuple[Finding, ...]:
    """The same after a change that moves no contact: stops are played through again where nothing else is left."""
    found = [f for f in judged(after.design, OF_LOADS).findings if is_new(f, before.judged.findings)]
    if not found:
        return new_findings(before, after)
    of_stops = [finding for finding in stood if is_about_stops(finding.rule)]
    return tuple(sorted([*found, *of_stops], key=lambda f: (f.signal.rank, f.rule, f.subjects)))


def _followed(mend: Mend, before: Outcome) -> Mend | None:
    """The mend with what it asks of conductors and devices besides, solved; None where that is nothing."""
    if mend.clears:
        return None
    steps = follow_up(mend.outcome, before.judged.findings)
    if not steps:
        return None
    try:
        outcome = mend.outcome.changed([edit for _, stage in steps for edit in stage.edits])
    except (Unreadable, Refusal):
        return None
    words = tuple(step_words(item, item.stages[item.now].words, stage.words) for item, stage in steps)
    costs = [_COST[item.sort] for item, _ in steps]
    cost = (max(mend.cost[0], *costs), mend.cost[1] + sum(costs))
    return Mend((*mend.words, *words), cost, outcome, _left(before, outcome, mend.left))


def _second_supply(before: Outcome, axis: AxisParts, count: int, wanted: Wanted) -> Mend | None:
    """The new axes on a supply of their own, like the one they would share."""
    if not axis.supply or wanted.on:
        return None
    try:
        addition = add_axes(before.design, axis, 1, replace(wanted, own_supply=True))
        outcome = before.changed(addition.edits)
        if count > 1:
            first = parts_of(outcome.design, find_axis(outcome.design, addition.motors[0]))
            outcome = outcome.changed(add_axes(outcome.design, first, count - 1, Wanted()).edits)
    except (Unreadable, Refusal):
        return None
    supplies = [new for old, new in addition.parts if old == axis.supply]
    words = f"a supply of its own like {axis.supply}: {', '.join(supplies)}"
    return Mend((words,), (_COST["second supply"], 5.0), outcome, new_findings(before, outcome))


def _rank(mend: Mend) -> tuple[int, int, tuple[int, float], tuple[str, ...]]:
    return len(mend.left), len(mend.words), mend.cost, mend.words


class _Search:
    """Changes put together one by one, each with what it asks for besides; every set of changes is solved once."""

    def __init__(self, before: Outcome, motors: Sequence[str], progress: Progress) -> None:
        self.before, self.motors, self.progress = before, motors, progress
        self.found: dict[frozenset[str], Mend] = {}

    def keep(self, mend: Mend) -> None:
        """Takes a mend up, and what follows from it."""
        self.found.setdefault(frozenset(mend.words), mend)
        more = _followed(mend, self.before)
        if more is not None:
            self.found.setdefault(frozenset(more.words), more)

    def run(self, first: Mend) -> None:
        beam = [first]
        for _ in range(_TOGETHER):
            known = set(self.found)
            for start in beam:
                self._widen(start)
            fresh = [mend for words, mend in self.found.items() if words not in known]
            clearing = any(mend.clears for mend in self.found.values())
            if any(mend.clears and not mend.staggered for mend in self.found.values()) or not fresh:
                return
            beam = sorted((m for m in fresh if not m.clears and not (clearing and m.staggered)), key=_rank)[:_BEAM]

    def _widen(self, start: Mend) -> None:
        for candidate in candidates(start.outcome, start.left, self.motors):
            if len(self.found) > _TRIALS:
                return
            self.progress(candidate.steps[0][0])
            for mend in _tried(start, self.before, candidate, self.found):
                self.keep(mend)


def least_mends(
    before: Outcome,
    after: Outcome,
    addition: Addition | None = None,
    axis: AxisParts | None = None,
    wanted: Wanted | None = None,
    count: int = 1,
    progress: Progress = lambda _: None,
) -> tuple[Mend, ...]:
    """Changes that clear what is new in `after`, the least first; where none does, the one that leaves least.

    Single changes come first; where no single one clears all, changes are put together one by one.
    """
    new = new_findings(before, after)
    if not new:
        return ()
    search = _Search(before, addition.motors if addition else (), progress)
    first = Mend((), (0, 0.0), after, new)
    search.keep(first)
    if any(finding.rule.startswith("supply-") for finding in new) and axis is not None:
        progress("a supply of its own")
        second = _second_supply(before, axis, count, wanted or Wanted())
        if second is not None:
            search.keep(second)
    search.run(first)
    found = [mend for mend in search.found.values() if mend.words]
    clearing = _least_of_each(sorted((mend for mend in found if mend.clears), key=_rank))
    helping = sorted((mend for mend in found if len(mend.left) < len(new)), key=_rank)
    return tuple(clearing) or tuple(helping[:1])


def _least_of_each(mends: Sequence[Mend]) -> list[Mend]:
    """Of several steps of one item the smallest that clears, and none with more in it than another that clears."""
    kept: dict[frozenset[str], Mend] = {}
    for mend in mends:
        about = frozenset(word.partition(" in place of ")[2] + word.partition(":")[0] for word in mend.words)
        if not any(other <= about for other in kept):
            kept[about] = mend
    return list(kept.values())
