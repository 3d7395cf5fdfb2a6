"""What one judgement may cost: counted in steps, not in seconds, so that it ends at the same place on every machine.

A step of a simulation is about what one node of a net costs in one round, or of a network in one solution; a step of a
walk is a point that it comes to. Outside of `limited` nothing is counted: who asks for a proof by itself gets it whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import TypeVar

from msgspec import Struct, field

S = TypeVar("S")
T = TypeVar("T")

#: Steps of all simulations of one judgement (own choice: more than the largest plan of `tests/judging` takes, and three
#: times what a row of 880 parts behind one stop does).
MOST_STEPS = 15_000_000
#: Steps of all its walks (own choice, as all here: what they take in some two seconds).
MOST_WALKED = 2_500_000
#: Nodes of the operating points that are solved and kept: some 100 MB, and some four seconds.
MOST_KEPT = 300_000
#: Cases of faults times points of a net that are played at once: some 200 MB.
MOST_AT_ONCE = 150_000_000
#: A plan of more characters, its lists included, may cost so many times as much, but not endlessly.
USUAL_SIZE = 300_000
MOST_TIMES = 4


class TooMuchError(Exception):
    """A judgement would take more steps than it may."""


class Effort(Struct):
    """Steps that are left, of simulations and of walks, and what may be kept. `spent_out` once something asked for
    more: that, and all later ones of its sort, were not made. `given_up` are the records that keep what took too much,
    by identity, which holds while they are here, and name of what it was."""

    steps: int = MOST_STEPS
    walked: int = MOST_WALKED
    kept: int = MOST_KEPT
    given_up: dict[tuple[int, str], object] = field(default_factory=dict)

    @property
    def spent_out(self) -> bool:
        """Whether anything was not made."""
        return self.steps < 0 or self.walked < 0 or self.kept < 0


_EFFORT: ContextVar[Effort | None] = ContextVar("effort", default=None)


def found_once(work: Callable[[S], T]) -> Callable[[S], T]:
    """What works out a value that a record keeps; where that takes too much, it is found out once too."""

    @wraps(work)
    def found(record: S) -> T:
        effort, key = _EFFORT.get(), (id(record), work.__name__)
        if effort is not None and effort.spent_out and key in effort.given_up:
            raise TooMuchError
        try:
            return work(record)
        except TooMuchError:
            if effort is not None:
                effort.given_up[key] = record
            raise

    return found


def shared_effort(size: int) -> Effort:
    """What a new judgement of a plan of so many characters may take: what is left of the one that it is a part of, or a
    whole of its own."""
    share = min(max(size / USUAL_SIZE, 1.0), MOST_TIMES)
    return _EFFORT.get() or Effort(int(share * MOST_STEPS), int(share * MOST_WALKED), int(share * MOST_KEPT))


def for_mends(judged: Effort) -> Effort:
    """What working the mends of a judgement out may take: what that left, and a third of a whole one."""
    return Effort(
        max(judged.steps, 0) + MOST_STEPS // 3,
        max(judged.walked, 0) + MOST_WALKED // 3,
        max(judged.kept, 0) + MOST_KEPT // 3,
    )


@contextmanager
def limited(effort: Effort) -> Iterator[None]:
    """Count what is simulated and walked here."""
    token = _EFFORT.set(effort)
    try:
        yield
    finally:
        _EFFORT.reset(token)


def _left(before: int, asked: int) -> int:
    """What is left after some more; below zero for ever once it was so."""
    return before - asked if before >= 0 else -1


def spend(steps: int) -> None:
    """Count some steps of a simulation.

    Raises TooMuchError where no more are left, now and from then on.
    """
    effort = _EFFORT.get()
    if effort is not None:
        effort.steps = _left(effort.steps, steps)
        if effort.steps < 0:
            raise TooMuchError


def walk_on(points: int) -> None:
    """Count the points of a walk.

    Raises TooMuchError where no more are left, now and from then on.
    """
    effort = _EFFORT.get()
    if effort is not None:
        effort.walked = _left(effort.walked, points)
        if effort.walked < 0:
            raise TooMuchError


def keep(nodes: int) -> None:
    """Count the nodes of an operating point that is kept.

    Raises TooMuchError where no more may be, now and from then on.
    """
    effort = _EFFORT.get()
    if effort is not None:
        effort.kept = _left(effort.kept, nodes)
        if effort.kept < 0:
            raise TooMuchError


def play_at_once(cases: int, points: int) -> None:
    """Ask for the room that some cases of faults take on the points of a net.

    Raises TooMuchError where it is too much, and then no more simulations are made.
    """
    effort = _EFFORT.get()
    if effort is not None and cases * points > MOST_AT_ONCE:
        effort.steps = -1
        raise TooMuchError
