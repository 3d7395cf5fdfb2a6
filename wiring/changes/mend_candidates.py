"""What could clear a new finding: moves that are staggered, the next steps of what it speaks of."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wiring.changes.edits import Edit, SetValue
from wiring.changes.outcome import Outcome
from wiring.changes.steps import Item, Stage, items
from wiring.changes.tried import OF_SIZE
from wiring.findings import Finding

#: How many steps up, or down for a device, are tried for one item.
_STEPS = 3
_STATE = re.compile(r"state (\S+)")
STAGGERED = "staggered moves"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One change, or the steps of one item from the smallest on, of which the first that helps is enough."""

    sort: str
    subjects: tuple[str, ...]
    steps: tuple[tuple[str, float, tuple[Edit, ...]], ...]


def step_words(item: Item, before: str, after: str) -> str:
    """A step of an item for people: "F2: 6 A in place of 4 A"."""
    noun = "conductors of " if item.name.startswith("type ") else ""
    return f"{noun}{item.name}: {after} in place of {before}"


def _ladder_candidate(item: Item, stages: Sequence[tuple[int, Stage]]) -> Candidate:
    before = item.stages[item.now].words
    steps = [(step_words(item, before, stage.words), float(abs(n - item.now)), stage.edits) for n, stage in stages]
    return Candidate(item.sort, item.subjects, tuple(steps))


def _item_candidates(item: Item, thinner: bool) -> Iterator[Candidate]:
    """The next steps up, and for a device, or a conductor that does not fit its terminal, the next ones down."""
    stages = list(enumerate(item.stages))
    if item.now + 1 < len(stages):
        yield _ladder_candidate(item, stages[item.now + 1 : item.now + 1 + _STEPS])
    if (item.sort == "device" or thinner) and item.now:
        yield _ladder_candidate(item, stages[max(item.now - _STEPS, 0) : item.now][::-1])


def candidates(outcome: Outcome, new: Sequence[Finding], motors: Sequence[str]) -> Iterator[Candidate]:
    """What could help: moves that are staggered, and the steps of each item that a new finding speaks of."""
    about: set[str] = set()
    for finding in new:
        if finding.rule in OF_SIZE:
            protections = [
                outcome.design.protections[name] for name in finding.subjects if name in outcome.design.protections
            ]
            about |= {
                *finding.subjects,
                *(protection.feeder for protection in protections),
                *_sources(outcome, finding),
            }
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


def _staggered(outcome: Outcome, new: Sequence[Finding], motors: Sequence[str]) -> Iterator[Candidate]:
    """The new axes hold still in the states in which a supply is asked for too much, and move in another one."""
    plan = outcome.design.plan
    asked = [finding for finding in new if finding.rule.startswith("supply-")]
    named = [state for finding in asked for state in _STATE.findall(finding.summary.replace(",", " "))]
    moving = {state: _moving(outcome, state, motors) for state in plan.states}
    states = [state for state in dict.fromkeys(named) if moving.get(state)]
    holders = list(dict.fromkeys(motor for state in states for motor in moving[state]))
    if not states or not all(any(m in moving[s] for s in moving if s not in states) for m in holders):
        return
    edits = tuple(SetValue(("states", state, motor), "hold") for state in states for motor in moving[state])
    verb = "holds" if len(holders) == 1 else "hold"
    noun = "state" if len(states) == 1 else "states"
    words = f"{STAGGERED}: {', '.join(holders)} {verb} still in {noun} {', '.join(states)}"
    yield Candidate("state", (), ((words, float(len(states)), edits),))


def _moving(outcome: Outcome, state: str, motors: Sequence[str]) -> list[str]:
    node = outcome.design.reading.node("states", state)
    return [motor for motor in motors if node is not None and node.data.get(motor, "hold") not in ("hold", "off")]
