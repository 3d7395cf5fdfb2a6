"""Ways to clear what a change brings: other sizes, staggered moves, a supply of its own; each solved and judged.

Structure comes first and sizes after it: what a second supply asks of its conductors comes with it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import AxisParts, find_axis, parts_of
from wiring.changes.outcome import Outcome, Unreadable, brought, judged, new_findings
from wiring.changes.wanted import Addition, Wanted
from wiring.findings import Finding
from wiring.plan.edits import SetValue
from wiring.plan.fault import Refusal
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rules import OF_LOADS, is_about_stops
from wiring.sizing.engine import settle
from wiring.sizing.ladder import Sort
from wiring.sizing.records import Unmet, Wish
from wiring.sizing.written import size_edits, size_words

_STATE = re.compile(r"state (\S+)")
_STAGGERED = "staggered moves"
Progress = Callable[[str], None]


class Proposal(Struct, frozen=True):
    """Changes on top of a change. `words` says each; `left` are the new findings that stand with them.

    `outcome` is the plan with all of it, solved; `unmet` says what no size helps, `supplies` whether
    supplies are among what grows.
    """

    words: tuple[str, ...]
    outcome: Outcome
    left: tuple[Finding, ...]
    unmet: tuple[str, ...] = ()
    supplies: bool = False

    @property
    def clears(self) -> bool:
        """Whether nothing new is left."""
        return not self.left

    @property
    def staggered(self) -> bool:
        """Whether it asks something of the program and not of the wiring alone."""
        return any(word.startswith(_STAGGERED) for word in self.words)


def proposals(
    before: Outcome,
    after: Outcome,
    addition: Addition | None = None,
    axis: AxisParts | None = None,
    wanted: Wanted | None = None,
    count: int = 1,
    progress: Progress = lambda _: None,
) -> tuple[Proposal, ...]:
    """Changes that clear what is new in `after`, the least first; where none does, the one that leaves least."""
    new = new_findings(before, after)
    if not new:
        return ()
    starts: list[tuple[str, Callable[[], Proposal | None]]] = [("sizes", lambda: Proposal((), after, new))]
    if any(finding.rule.startswith("supply-") for finding in new):
        motors = addition.motors if addition else ()
        starts.append((_STAGGERED, lambda: _staggered(before, after, new, motors)))
        if axis is not None:
            starts.append(("a supply of its own", lambda: _second_supply(before, axis, count, wanted or Wanted())))
    found: list[Proposal] = []
    for name, make in starts:
        progress(name)
        start = make()
        if start is not None:
            found.append(start if start.words and start.clears else _sized(before, start))
    found = [one for one in found if not (one.staggered and one.supplies)]
    clearing = sorted((one for one in found if one.clears and one.words), key=_rank)
    helping = sorted((one for one in found if one.words or one.unmet), key=_rank)
    return tuple(clearing) or tuple(helping[:1])


def _rank(one: Proposal) -> tuple[int, int, bool, tuple[str, ...]]:
    """What leaves least, then what changes least; a program is changed before the wiring is."""
    return len(one.left), len(one.words), not one.staggered, one.words


def _sized(before: Outcome, start: Proposal) -> Proposal:
    """A start with the sizes that it asks for."""
    sizing = settle(start.outcome.design, Wish(KEPT_FREE))
    edits = size_edits(sizing)
    outcome = start.outcome.changed(edits) if edits else start.outcome
    left = _left(before, outcome, start.left)
    unmet = _of_roots(sizing.unmet, left)
    supplies = any(ladder.sort is Sort.SUPPLY for ladder in sizing.moved)
    return Proposal((*start.words, *size_words(sizing)), outcome, left, unmet, supplies)


def _of_roots(unmet: Sequence[Unmet], left: Sequence[Finding]) -> tuple[str, ...]:
    """What no size helps, as far as a finding that is left speaks of it: its root alone."""
    told = {name for finding in left for name in finding.subjects}
    return tuple(str(one) for one in unmet if told & set(one.ladder.subjects))


def _left(before: Outcome, after: Outcome, stood: Sequence[Finding]) -> tuple[Finding, ...]:
    """What is new after a change that moves no contact: what was told about stops stands."""
    found = brought(before.judged, judged(after.design, OF_LOADS))
    of_stops = [finding for finding in stood if is_about_stops(finding.rule)]
    return tuple(sorted([*found, *of_stops], key=lambda f: (f.signal.rank, f.rule, f.subjects)))


def _second_supply(before: Outcome, axis: AxisParts, count: int, wanted: Wanted) -> Proposal | None:
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
    return Proposal((words,), outcome, new_findings(before, outcome))


def _staggered(before: Outcome, after: Outcome, new: Sequence[Finding], motors: Sequence[str]) -> Proposal | None:
    """The new axes hold still in the states in which a supply is asked for too much, and move in another one."""
    plan = after.design.plan
    asked = [finding for finding in new if finding.rule.startswith("supply-")]
    named = [state for finding in asked for state in _STATE.findall(finding.summary.replace(",", " "))]
    moving = {state: _moving(after, state, motors) for state in plan.states}
    states = [state for state in dict.fromkeys(named) if moving.get(state)]
    holders = list(dict.fromkeys(motor for state in states for motor in moving[state]))
    if not states or not all(any(m in moving[s] for s in moving if s not in states) for m in holders):
        return None
    edits = [SetValue(("states", state, motor), "hold") for state in states for motor in moving[state]]
    verb = "holds" if len(holders) == 1 else "hold"
    noun = "state" if len(states) == 1 else "states"
    words = f"{_STAGGERED}: {', '.join(holders)} {verb} still in {noun} {', '.join(states)}"
    outcome = after.changed(edits)
    return Proposal((words,), outcome, _left(before, outcome, new))


def _moving(outcome: Outcome, state: str, motors: Sequence[str]) -> list[str]:
    node = outcome.design.reading.node("states", state)
    return [motor for motor in motors if node is not None and node.data.get(motor, "hold") not in ("hold", "off")]
