"""Searches in step: what all of them want to see next is played in as few runs as it takes.

A run costs little more with thousands of cases than with a hundred. So whoever needs runs one after the other is a
generator that yields the cases it wants and is sent what they show, and shares each round with everyone beside it.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from typing import NamedTuple, TypeVar

from wiring.control.inject import Case
from wiring.control.net import Net
from wiring.control.parallel_fault_simulation import ParallelSimulation, SimulationResult
from wiring.control.script import StopUse

#: Cases in one run, over all its sources: wide enough to serve thousands at once, narrow enough to stay in the cache.
_WIDTH = 120_000
#: Cases of one run times points of its net: what they take is kept.
_BITS = 100_000_000


def run_width(net: Net) -> int:
    """How many cases one run of a net takes."""
    return max(min(_WIDTH // max(len(net.sources), 1), _BITS // max(net.count, 1)), 1)


class Wanted(NamedTuple):
    """Cases of a stop that someone wants played."""

    net: Net
    use: StopUse
    cases: Sequence[Case]


T = TypeVar("T")
#: Yields what it wants played, is sent what that shows, and ends with its result.
Steps = Generator[Sequence[Wanted], Sequence[SimulationResult], T]


def side_by_side(searches: Sequence[Steps[T]]) -> Steps[list[T]]:
    """Several as one: in each round what all of them want; their results in the same order."""
    done: dict[int, T] = {}
    sent: dict[int, Sequence[SimulationResult] | None] = dict.fromkeys(range(len(searches)))
    while sent:
        asked: dict[int, Sequence[Wanted]] = {}
        for n, seen in sent.items():
            try:
                asked[n] = next(searches[n]) if seen is None else searches[n].send(seen)
            except StopIteration as end:
                done[n] = end.value
        sent = {}
        if asked:
            shown = iter((yield [one for some in asked.values() for one in some]))
            sent = {n: [next(shown) for _ in some] for n, some in asked.items()}
    return [done[n] for n in range(len(searches))]


def played(steps: Steps[T]) -> T:
    """The result of one, with everything played that it wants."""
    try:
        wanted = next(steps)
        while True:
            wanted = steps.send(_shown(wanted))
    except StopIteration as end:
        result: T = end.value
        return result


def _shown(wanted: Sequence[Wanted]) -> list[SimulationResult]:
    """What each shows; those that differ in devices and states alone are played in the same runs."""
    alike: list[list[int]] = []
    for n, one in enumerate(wanted):
        some = next((some for some in alike if _shares(wanted[some[0]], one)), None)
        if some is None:
            alike.append([n])
        else:
            some.append(n)
    shown: dict[int, SimulationResult] = {}
    for some in alike:
        for run in _filled(wanted, some):
            shares = [(wanted[n].use, len(wanted[n].cases)) for n in run]
            result = ParallelSimulation(
                wanted[run[0]].net, [case for n in run for case in wanted[n].cases], wanted[run[0]].use, shares
            ).run()
            first = 0
            for n in run:
                shown[n] = result.part(first, len(wanted[n].cases))
                first += len(wanted[n].cases)
    return [shown[n] for n in range(len(wanted))]


def _shares(one: Wanted, other: Wanted) -> bool:
    """Whether two can be played in one run: the same net, and the same hands at the same operators."""
    (mine, yours) = one.use, other.use
    alike = (mine.starts, mine.operators) == (yours.starts, yours.operators)
    resets = all((start in mine.resets) == (start in yours.resets) for start in mine.starts)
    return alike and resets and (one.net is other.net or one.net == other.net)


def _filled(wanted: Sequence[Wanted], some: Sequence[int]) -> Iterator[list[int]]:
    """The places of what is wanted, as many at once as serve each other."""
    width = run_width(wanted[some[0]].net)
    run, count = list[int](), 0
    for n in some:
        if run and count + len(wanted[n].cases) > width:
            yield run
            run, count = [], 0
        run.append(n)
        count += len(wanted[n].cases)
    yield run
