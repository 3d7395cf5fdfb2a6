"""Walks from one thing to the next, breadth first: what some starts lead to, and the way back."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Container, Hashable, Iterable, Mapping
from typing import TypeVar

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
    return came


def way_to(came: Mapping[N, tuple[N, E] | None], goals: Container[N]) -> list[E]:
    """Over what the walk came to the first of `goals`, from the start on; nothing where it came to none."""
    end = next((one for one in came if one in goals), None)
    found: list[E] = []
    while end is not None and (step := came[end]) is not None:
        end, edge = step
        found.append(edge)
    return found[::-1]
