"""Walks from one thing to the next, breadth first: what some starts lead to, and the way back."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Container, Hashable, Iterable, Iterator, Mapping, Sequence
from typing import Generic, TypeVar

from wiring.effort import walk_on

N = TypeVar("N", bound=Hashable)
E = TypeVar("E")


def walk(
    starts: Iterable[N], onward: Callable[[N], Iterable[tuple[E, N]]], until: Container[N] = ()
) -> dict[N, tuple[N, E] | None]:
    """All that steps lead to, in the order of the walk, each with the step that came first to it; None at a start.

    `onward` gives the steps from a thing: over what, and to where. The walk ends at the first thing of `until`.
    """
    came: dict[N, tuple[N, E] | None] = dict.fromkeys(starts)
    queue = deque(came)
    while queue:
        here = queue.popleft()
        if here in until:
            break
        for edge, there in onward(here):
            if there not in came:
                came[there] = (here, edge)
                queue.append(there)
    walk_on(len(came))
    return came


def way_to(came: Mapping[N, tuple[N, E] | None], goals: Container[N]) -> list[E]:
    """Over what the walk came to the first of `goals`, from the start on; nothing where it came to none."""
    end = next((one for one in came if one in goals), None)
    found: list[E] = []
    while end is not None and (step := came[end]) is not None:
        end, edge = step
        found.append(edge)
    return found[::-1]


class Reach(Generic[N, E]):
    """What a walk over steps that lead both ways comes to, and what of it hangs on some of these steps alone."""

    def __init__(self, starts: Iterable[N], onward: Callable[[N], Iterable[tuple[E, N]]]) -> None:
        self.onward = onward
        self.came = walk(starts, onward)
        self._next: dict[N, list[tuple[E, N]]] = {}
        for there, step in self.came.items():
            if step is not None:
                self._next.setdefault(step[0], []).append((step[1], there))

    def lost_without(self, places: Iterable[N], is_gone: Callable[[E], bool]) -> set[N]:
        """What it comes to over steps that are gone alone; both ends of each of these are among `places`."""
        cut = [place for place in places if (step := self.came.get(place)) is not None and is_gone(step[1])]
        doubtful = walk(cut, lambda here: self._next.get(here, ()))

        def kept(here: N) -> Iterator[tuple[E, N]]:
            return ((edge, there) for edge, there in self.onward(here) if not is_gone(edge))

        held = [here for here in doubtful if any(there not in doubtful for _, there in kept(here))]
        return doubtful.keys() - walk(held, lambda here: (step for step in kept(here) if step[1] in doubtful))


def blocks(edges: Sequence[tuple[N, N]]) -> Iterator[list[int]]:
    """The places of the edges of every block of a network: two edges of a block lie on a common ring, and one that lies
    on no ring is a block of its own. Source: J. Hopcroft, R. Tarjan, Communications of the ACM 16 (1973), 372-378."""
    at: dict[N, list[tuple[int, N]]] = {}
    for n, (a, b) in enumerate(edges):
        at.setdefault(a, []).append((n, b))
        at.setdefault(b, []).append((n, a))
    depth: dict[N, int] = {}
    for start in at:
        if start not in depth:
            yield from _blocks_from(start, at, depth)


def _blocks_from(start: N, at: Mapping[N, Sequence[tuple[int, N]]], depth: dict[N, int]) -> Iterator[list[int]]:
    depth[start] = 0
    low: dict[N, int] = {start: 0}
    passed: list[int] = []
    seen: set[int] = set()
    ahead: list[tuple[N, int, Iterator[tuple[int, N]]]] = [(start, 0, iter(at[start]))]
    while ahead:
        here, since, steps = ahead[-1]
        step = next(steps, None)
        if step is None:
            ahead.pop()
            if ahead:
                above = ahead[-1][0]
                low[above] = min(low[above], low[here])
                if low[here] >= depth[above]:
                    yield passed[since:]
                    del passed[since:]
            continue
        n, there = step
        if n in seen:
            continue
        seen.add(n)
        if there == here:
            yield [n]
        elif there in depth:
            passed.append(n)
            low[here] = min(low[here], depth[there])
        else:
            depth[there] = low[there] = depth[here] + 1
            ahead.append((there, len(passed), iter(at[there])))
            passed.append(n)
