"""What a change asks of conductors and devices besides: a larger supply of thicker wires, a second one of its fuses."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from wiring.changes.outcome import Outcome, is_new
from wiring.changes.sketch import sketch
from wiring.changes.steps import Item, Stage
from wiring.changes.tried import OF_SIZE, Tried, rules_for
from wiring.findings import Finding

#: What follows is looked for so often over all items: a fuse that grows may ask for a wire that grows.
_SWEEPS = 3


def follow_up(outcome: Outcome, known: Collection[Finding]) -> list[tuple[Item, Stage]]:
    """The items, as they stand in the outcome, and the steps that clear what is new of them by sketches alone.

    `known` are findings that stand anyhow. Nothing is returned of items that no step helps.
    """
    now = Tried(outcome.design, 0.0)
    start = dict(now.items)
    moves: dict[str, Stage] = {}
    for _ in range(_SWEEPS):
        speaking = [key for key, item in now.items.items() if item.sort in ("conductor", "device")]
        moved = False
        for key in speaking:
            item = now.items[key]
            if not _about(now, item, known):
                continue
            found = _helped(now, item, known)
            if found is not None:
                moves[key], now = found
                moved = True
        if not moved:
            break
    return [(start[key], stage) for key, stage in moves.items() if key in start]


def _helped(now: Tried, item: Item, known: Collection[Finding]) -> tuple[Stage, Tried] | None:
    """The first step at which nothing new speaks of an item; what is new of others then is for them to follow."""
    for stage in _order(item):
        design = sketch(now.design, item, stage)
        if design is None:
            continue
        if not _about(Tried(design, 0.0, rules_for(item)), item, known):
            return stage, Tried(design, 0.0)
    return None


def _order(item: Item) -> Sequence[Stage]:
    """Steps up first, then down, the nearest first."""
    return (*item.stages[item.now + 1 :], *reversed(item.stages[: item.now]))


def _new(findings: Iterable[Finding], known: Collection[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.rule in OF_SIZE and is_new(finding, known)]


def _about(tried: Tried, item: Item, known: Collection[Finding]) -> bool:
    new = _new((*tried.of_form, *tried.of_size), known)
    return any(not set(finding.subjects).isdisjoint(item.subjects) for finding in new)
