"""The least changes that clear what an addition brings, each verified by solving the plan with it once more."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import AxisParts
from wiring.changes.edits import Edit, SetValue
from wiring.changes.outcome import Outcome, Unreadable, is_new
from wiring.changes.sizing import OF_SIZE
from wiring.changes.steps import Item, Stage, items
from wiring.changes.wanted import Addition, Wanted
from wiring.findings import Finding
from wiring.plan.fault import Refusal

#: How many steps up, or down for a device, are tried for one item.
_STEPS = 3
#: How many changes are put together at most.
_TOGETHER = 4
#: How many of the best are followed at once, and how many trials are made in all.
_BEAM = 3
_TRIALS = 40
_STATE = re.compile(r"state (\S+)")
#: What is the least change: one of the program costs nothing, a second supply most.
_COST = {"state": 0, "device": 1, "conductor": 2, "fan": 3, "transformer": 4, "supply": 4, "second supply": 5}
STAGGERED = "staggered moves"
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


@dataclass(frozen=True, slots=True)
class _Candidate:
    """One change, or the steps of one item from the smallest on, of which the first that helps is enough."""

    sort: str
    subjects: tuple[str, ...]
    steps: tuple[tuple[str, float, tuple[Edit, ...]], ...]


def _ladder_candidate(item: Item, stages: Sequence[tuple[int, Stage]]) -> _Candidate:
    before = item.stages[item.now].words
    noun = "conductors of " if item.name.startswith("type ") else ""
    steps = [
        (f"{noun}{item.name}: {stage.words} in place of {before}", float(abs(n - item.now)), stage.edits)
        for n, stage in stages
    ]
    return _Candidate(item.sort, item.subjects, tuple(steps))


def _item_candidates(item: Item, thinner: bool) -> Iterator[_Candidate]:
    """The next steps up, and for a device, or a conductor that does not fit its terminal, the next ones down."""
    stages = list(enumerate(item.stages))
    if item.now + 1 < len(stages):
        yield _ladder_candidate(item, stages[item.now + 1 : item.now + 1 + _STEPS])
    if (item.sort == "device" or thinner) and item.now:
        yield _ladder_candidate(item, stages[max(item.now - _STEPS, 0) : item.now][::-1])


def _candidates(outcome: Outcome, new: Sequence[Finding], motors: Sequence[str]) -> Iterator[_Candidate]:
    """What could help: moves that are staggered, and the steps of each item that a new finding speaks of."""
    about: set[str] = set()
    for finding in new:
        if finding.rule in OF_SIZE:
            guards = [outcome.design.guards[name] for name in finding.subjects if name in outcome.design.guards]
            about |= {*finding.subjects, *(guard.feeder for guard in guards), *_sources(outcome, finding)}
    if any(finding.rule.startswith("supply-") for finding in new):
        yield from _staggered(outcome, new, motors)
    misfits = {name for finding in new if finding.rule == "terminal-size-wrong" for name in finding.subjects}
    for item in items(outcome.design):
        if not about.isdisjoint(item.subjects):
            yield from _item_candidates(item, item.sort == "conductor" and not misfits.isdisjoint(item.subjects))


def _sources(outcome: Outcome, finding: Finding) -> set[str]:
    """The supplies on whose rails the parts of a finding hang."""
    found: set[str] = set()
    for name in finding.subjects:
        part = outcome.design.parts.get(name)
        for terminal in part.terminals if part else ():
            found |= {rail.source for rail in outcome.design.roles.rails.get((name, terminal), ())}
    return found


def _staggered(outcome: Outcome, new: Sequence[Finding], motors: Sequence[str]) -> Iterator[_Candidate]:
    """The new axes hold still in the state in which a supply is asked for too much, or wherever they would move."""
    plan = outcome.design.plan
    named = [state for finding in new for state in _STATE.findall(finding.summary.replace(",", " "))]
    worst = [state for state in dict.fromkeys(named) if state in plan.states]
    moving = {state: _moving(outcome, state, motors) for state in plan.states}
    for states in (worst, [state for state in plan.states if moving[state]]):
        edits = tuple(SetValue(("states", state, motor), "hold") for state in states for motor in moving[state])
        if edits:
            holders = list(dict.fromkeys(motor for state in states for motor in moving[state]))
            verb = "holds" if len(holders) == 1 else "hold"
            noun = "state" if len(states) == 1 else "states"
            words = f"{STAGGERED}: {', '.join(holders)} {verb} still in {noun} {', '.join(states)}"
            yield _Candidate("state", (), ((words, float(len(states)), edits),))


def _moving(outcome: Outcome, state: str, motors: Sequence[str]) -> list[str]:
    node = outcome.design.reading.node("states", state)
    return [motor for motor in motors if node is not None and node.data.get(motor, "hold") not in ("hold", "off")]


def _tried(start: Mend, before: Outcome, one: _Candidate) -> Iterator[Mend]:
    """The steps of a candidate until one leaves nothing that speaks of it."""
    for words, size, edits in one.steps:
        try:
            outcome = start.outcome.changed(edits)
        except (Unreadable, Refusal):
            continue
        cost = (max(start.cost[0], _COST[one.sort]), start.cost[1] + _COST[one.sort] + size / 10)
        mend = Mend((*start.words, words), cost, outcome, new_findings(before, outcome))
        yield mend
        if not any(f.rule in OF_SIZE and not set(f.subjects).isdisjoint(one.subjects) for f in mend.left):
            return


def new_findings(before: Outcome, after: Outcome) -> tuple[Finding, ...]:
    """What stands in the changed plan and did not in the first one."""
    return tuple(f for f in after.judged.findings if is_new(f, before.judged.findings))


def _second_supply(before: Outcome, axis: AxisParts, count: int, wanted: Wanted) -> Mend | None:
    """The new axes on a supply of their own, like the one they would share."""
    if not axis.supply or wanted.on:
        return None
    try:
        addition = add_axes(before.design, axis, count, replace(wanted, own_supply=True))
        outcome = before.changed(addition.edits)
    except (Unreadable, Refusal):
        return None
    supplies = [new for old, new in addition.parts if old == axis.supply]
    words = f"a supply of its own like {axis.supply}: {', '.join(supplies)}"
    return Mend((words,), (_COST["second supply"], 5.0), outcome, new_findings(before, outcome))


def _rank(mend: Mend) -> tuple[int, int, tuple[int, float], tuple[str, ...]]:
    return len(mend.left), len(mend.words), mend.cost, mend.words


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
    motors = addition.motors if addition else ()
    beam = [Mend((), (0, 0.0), after, new)]
    found: list[Mend] = []
    if any(finding.rule.startswith("supply-") for finding in new) and axis is not None:
        progress("a supply of its own")
        second = _second_supply(before, axis, count, wanted or Wanted())
        found += [second] if second else []
    trials = 0
    for _ in range(_TOGETHER):
        level: dict[frozenset[str], Mend] = {}
        for start in beam:
            for candidate in _candidates(start.outcome, start.left, motors):
                progress(candidate.steps[0][0])
                for mend in _tried(start, before, candidate):
                    trials += 1
                    level.setdefault(frozenset(mend.words), mend)
                if trials > _TRIALS:
                    break
        found += level.values()
        if any(mend.clears and not mend.staggered for mend in found) or not level or trials > _TRIALS:
            break
        done = any(mend.clears for mend in found)
        open_ends = {id(m): m for m in (*level.values(), *(m for m in found if len(m.words) == 1)) if not m.clears}
        beam = sorted((m for m in open_ends.values() if not (done and m.staggered)), key=_rank)[:_BEAM]
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
