"""Vertical tracks in a channel: one a wire, in an order without overlaps and with few crossings.

Two wires that share a row, one from the left and one from the right, may not meet on it: the one from the left turns
first. A ring of such demands is broken by a dogleg on a free half row.
"""

from __future__ import annotations

from msgspec import Struct


class Run(Struct, frozen=True):
    """The vertical of a wire in a channel, with the rows of its horizontals to the left and to the right of it."""

    wire: int
    left: tuple[float, ...]
    right: tuple[float, ...]
    low: float
    high: float


class Track(Struct, frozen=True):
    """The place of a vertical: `track` counts from the left of the channel."""

    run: Run
    track: int


def _run(wire: int, left: tuple[float, ...], right: tuple[float, ...], *rows: float) -> Run:
    return Run(wire, left, right, min(rows), max(rows))


def passing(wire: int, left: float, right: float) -> Run:
    """A wire from a row on the left to a row on the right."""
    return _run(wire, (left,), (right,), left, right)


def turning(wire: int, one: float, two: float, *, left: bool) -> Run:
    """A wire that goes back to the side it came from."""
    return _run(wire, (one, two) if left else (), () if left else (one, two), one, two)


def _must_precede(a: Run, b: Run) -> bool:
    return a is not b and bool(set(a.left) & set(b.right))


def _cost(a: Run, b: Run) -> int:
    """Crossings of two wires when `a` turns left of `b`."""
    return sum(a.low < row < a.high for row in b.left) + sum(b.low < row < b.high for row in a.right)


def _sorted(runs: list[Run]) -> tuple[list[Run], list[Run]]:
    """The runs in an order that meets the demands, and those that stand in a ring."""
    rest = sorted(runs, key=lambda run: (run.low + run.high, run.wire))
    done: list[Run] = []
    while rest:
        free = next((run for run in rest if not any(_must_precede(other, run) for other in rest)), None)
        if free is None:
            return done, rest
        done.append(free)
        rest.remove(free)
    return done, []


def _improve(runs: list[Run]) -> list[Run]:
    for _ in range(len(runs)):
        changed = False
        for n in range(len(runs) - 1):
            a, b = runs[n], runs[n + 1]
            if not _must_precede(a, b) and _cost(b, a) < _cost(a, b):
                runs[n], runs[n + 1] = b, a
                changed = True
        if not changed:
            break
    return runs


def _dogleg(run: Run, used: set[float]) -> tuple[Run, Run]:
    start, end = run.left[0], run.right[0]
    step = 1.0 if end > start else -1.0
    half = start + 0.5 * step
    while half in used:
        half += step
    used.add(half)
    return _run(run.wire, run.left, (), start, half), _run(run.wire, (), run.right, half, end)


def assign(runs: list[Run]) -> list[Track]:
    """A track for every run. A wire that had to be broken has two, which meet on the half row they share."""
    used: set[float] = set()
    todo = list(runs)
    while True:
        done, ring = _sorted(todo)
        if not ring:
            break
        worst = next(run for run in ring if run.left and run.right and any(_must_precede(run, b) for b in ring))
        todo.remove(worst)
        todo += _dogleg(worst, used)
    ordered = _improve(done)
    tracks: list[Track] = []
    for run in ordered:
        level = 0
        for before in tracks:
            apart = before.run.high + 0.5 < run.low or run.high + 0.5 < before.run.low
            if not apart or _must_precede(before.run, run) or _cost(before.run, run) != _cost(run, before.run):
                level = max(level, before.track + 1)
        tracks.append(Track(run, level))
    return tracks
