"""What the simulations of a judgement may cost: counted in steps, not in seconds, so that a judgement ends at the same
place on every machine.

A step is about what one node of a net costs in one round, or of a network in one solution. Outside of `limited` nothing
is counted: who asks for a proof by itself gets it whole.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from msgspec import Struct

#: Steps of all simulations of one judgement (own choice: more than a row of 880 parts behind one stop takes, and
#: fourteen times what the most demanding plan in `specs/` does).
MOST_STEPS = 9_000_000


class TooMuchError(Exception):
    """Simulations would take more steps than a judgement may."""


class Effort(Struct):
    """Steps that are left. `spent_out` once something asked for more: it, and all later simulations, were not made."""

    left: int = MOST_STEPS
    spent_out: bool = False


_EFFORT: ContextVar[Effort | None] = ContextVar("effort", default=None)


@contextmanager
def limited(effort: Effort) -> Iterator[None]:
    """Count what is simulated here."""
    token = _EFFORT.set(effort)
    try:
        yield
    finally:
        _EFFORT.reset(token)


def spend(steps: int) -> None:
    """Count some steps.

    Raises TooMuchError where no more are left, now and from then on.
    """
    effort = _EFFORT.get()
    if effort is not None:
        effort.spent_out = effort.spent_out or steps > effort.left
        if effort.spent_out:
            raise TooMuchError
        effort.left -= steps
