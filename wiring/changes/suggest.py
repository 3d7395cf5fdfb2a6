"""The smallest standard sizes that pass: each step down is tried by solving, and the one below what is kept fails."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from wiring.changes.outcome import Outcome
from wiring.changes.sizing import Sizing, smallest
from wiring.changes.steps import Item, items
from wiring.changes.tried import key_of

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One item: its present step, the smallest that passes, and the next smaller one with the reason why it fails.

    `after` is "" where no step passes, `why` then the reason; `below` is "" where there is no smaller step.
    """

    sort: str
    name: str
    before: str
    after: str
    below: str
    why: str

    @property
    def changed(self) -> bool:
        """Whether another step than the present one is suggested."""
        return self.after not in ("", self.before)


@dataclass(frozen=True)
class Suggestions:
    """All items, and the plan with every suggestion in it, solved and judged by all rules."""

    base: Outcome
    result: Outcome
    rows: tuple[Suggestion, ...]
    headroom: float

    @property
    def clear(self) -> bool:
        """Whether nothing at or above CAUTION stands in the resulting plan."""
        return not self.result.standing


def suggest(base: Outcome, headroom: float, progress: Progress = lambda _: None) -> Suggestions:
    """The smallest standard steps of everything that has steps, each verified by solving the plan again.

    `headroom` is the share of a supply, transformer, fuse or breaker that stays free, 0 to below 1. No step passes that
    brings a finding which the plan did not have.
    """
    search = smallest(base, headroom, progress)
    rows = tuple(_row(item, search.now.items.get(key_of(item)), search) for item in items(base.design))
    return Suggestions(base, search.outcome, rows, headroom)


def _row(item: Item, after: Item | None, search: Sizing) -> Suggestion:
    before = item.stages[item.now].words
    if key_of(item) in search.stuck:
        return Suggestion(item.sort, item.name, before, "", "", search.stuck[key_of(item)])
    words = after.stages[after.now].words if after else before
    below, why = search.below.get(key_of(item), ("", ""))
    return Suggestion(item.sort, item.name, before, words, below, why)
