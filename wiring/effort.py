"""What one judgement may cost: counted in steps, not in seconds, so that it ends at the same place on every machine.

A step of a simulation is about what one node of a net costs in one round, or of a network in one solution; a step of a
walk is a point that it comes to. Outside of `limited` nothing is counted: who asks for a proof by itself gets it whole.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from msgspec import Struct

#: Steps of all simulations of one judgement (own choice: three times what a row of 880 parts behind one stop takes, and
#: what the largest plan of `tests/judging` does).
MOST_STEPS = 15_000_000
#: Steps of all its walks (own choice: more than a row of 9,000 parts takes).
MOST_WALKED = 6_000_000


class TooMuchError(Exception):
    """A judgement would take more steps than it may."""


class Effort(Struct):
    """Steps that are left, of simulations and of walks. `spent_out` once something asked for more: that, and all later
    ones of its sort, were not made."""

    steps: int = MOST_STEPS
    walked: int = MOST_WALKED

    @property
    def spent_out(self) -> bool:
        """Whether anything was not made."""
        return self.steps < 0 or self.walked < 0


_EFFORT: ContextVar[Effort | None] = ContextVar("effort", default=None)


def shared_effort() -> Effort:
    """What a new judgement may take: what is left of the one that it is a part of, or a whole of its own."""
    return _EFFORT.get() or Effort()


def for_mends(judged: Effort) -> Effort:
    """What working the mends of a judgement out may take: what that left, and a third of a whole one."""
    return Effort(max(judged.steps, 0) + MOST_STEPS // 3, max(judged.walked, 0) + MOST_WALKED // 3)


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
