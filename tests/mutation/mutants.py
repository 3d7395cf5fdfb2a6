"""Mutants: every way at every place it applies to, a fair sample of them, and what the rules say to one."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from itertools import zip_longest
from random import Random

import ways_conductors
import ways_earth
import ways_power
import ways_signals
import ways_stop
from machine import Machine, machines
from plain_plans import written
from ways import WAYS, Break, Way

from wiring.design.load import load_text
from wiring.findings import Report, Signal
from wiring.rules.run import judge

#: The modules that register ways; named so that each is loaded.
SOURCES = (ways_conductors, ways_earth, ways_power, ways_stop, ways_signals)
_SEED = 6020401


@dataclass(frozen=True)
class Mutant:
    """One plan broken in one way at one place."""

    machine: Machine
    way: Way
    place: Break

    @property
    def name(self) -> str:
        return f"{self.machine.name}: {self.way.name}: {self.place.where}"

    def text(self) -> str:
        plan = deepcopy(self.machine.plan)
        self.place.edit(plan)
        return written(plan)


@dataclass(frozen=True)
class Answer:
    """What the tool said to a mutant: rules above NOTICE, rules with a new open question, rules that failed."""

    loud: tuple[str, ...]
    asks: tuple[str, ...]
    crashed: tuple[str, ...]
    refused: tuple[str, ...] = ()

    def catches(self, way: Way) -> bool:
        """Whether this answer tells the builder: a finding above NOTICE, or a question where data was taken away."""
        return bool(self.loud) or (way.removes_data and bool(self.asks))


def all_mutants() -> list[Mutant]:
    """Every way at every place of every plan."""
    return [Mutant(m, way, place) for way in WAYS for m in machines() for place in way.places(m)]


def sample(size: int) -> list[Mutant]:
    """`size` mutants, the same ones every time: one of each way, then a second of each, and so on."""
    random = Random(_SEED)
    piles: list[list[Mutant]] = []
    for way in WAYS:
        pile = [Mutant(m, way, place) for m in machines() for place in way.places(m)]
        random.shuffle(pile)
        piles.append(pile)
    rounds = (mutant for round_ in zip_longest(*piles) for mutant in round_ if mutant is not None)
    return [mutant for mutant, _ in zip(rounds, range(size), strict=False)]


def doubles(count: int) -> Iterator[tuple[str, str]]:
    """Name and text of plans broken in two ways at once, the same ones every time.

    Where the first break has taken away what the second one breaks, another pair is drawn.
    """
    random = Random(_SEED)
    singles = {machine.name: [m for m in all_mutants() if m.machine.name == machine.name] for machine in machines()}
    made = 0
    while made < count:
        first, second = random.sample(singles[random.choice(sorted(singles))], 2)
        plan = deepcopy(first.machine.plan)
        try:
            first.place.edit(plan)
            second.place.edit(plan)
        except (LookupError, StopIteration, ValueError, TypeError, AttributeError):
            continue
        made += 1
        yield f"{first.name}, and {second.way.name}: {second.place.where}", written(plan)


def judged(text: str, name: str) -> Report | tuple[str, ...]:
    """The report on a plan, or the faults that stand in its way."""
    loaded = load_text(text, f"{name}.yaml")
    return tuple(str(fault) for fault in loaded.faults) if loaded.design is None else judge(loaded.design)


@cache
def _questions(name: str) -> frozenset[tuple[str, tuple[str, ...], str]]:
    """What stays open on a clean plan, judged once."""
    machine = next(machine for machine in machines() if machine.name == name)
    report = judged(written(machine.plan), name)
    assert isinstance(report, Report)
    return frozenset((item.rule, item.subjects, item.missing) for item in report.not_judged)


def loud(report: Report) -> tuple[str, ...]:
    """The rules that speak above NOTICE."""
    return tuple(sorted({f.rule for f in report.findings if f.signal is not Signal.NOTICE}))


def answer(mutant: Mutant) -> Answer:
    """Judge a mutant against its clean plan, which has nothing above NOTICE."""
    report = judged(mutant.text(), mutant.machine.name)
    if not isinstance(report, Report):
        return Answer((), (), (), report)
    before = _questions(mutant.machine.name)
    asks = sorted({i.rule for i in report.not_judged if (i.rule, i.subjects, i.missing) not in before})
    return Answer(loud(report), tuple(asks), report.crashed)


def answers(mutants: list[Mutant]) -> Iterator[tuple[Mutant, Answer]]:
    """Every mutant with its answer."""
    return ((mutant, answer(mutant)) for mutant in mutants)
