"""Which points each rail reaches, for all cases at once: one whole number a node.

A number has two halves of one bit a case. The low half holds the cases in which a rail perhaps reaches a point, along
paths that might conduct; the high half those in which it surely does, along paths that surely conduct. Loads, coils and
lamps carry a rail on to points that nothing holds at a potential: the sneak paths, low half only.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

#: Neighbours of every node: (far node, number of the path).
Adjacent = Sequence[Sequence[tuple[int, int]]]


@dataclass(slots=True)
class Rails:
    """The points tied to the plus and to the minus of one source, by node, in halves as above.

    `sure` are the cases in which the source itself is alive for certain, `perhaps` those in which it may be.
    """

    plus: list[int] = field(default_factory=list)
    minus: list[int] = field(default_factory=list)
    sure: int = 0
    perhaps: int = 0


def spread(adjacent: Adjacent, conducts: Sequence[int], reached: list[int], starts: Iterable[int]) -> list[int]:
    """Spread the bits at `starts` along every path as far as it conducts; `reached` is filled and given back."""
    level = list(starts)
    while level:
        following: dict[int, None] = {}
        for node in level:
            bits = reached[node]
            for far, path in adjacent[node]:
                have = reached[far]
                now = have | bits & conducts[path]
                if now != have:
                    reached[far] = now
                    following[far] = None
        level = list(following)
    return reached


def spread_apart(
    adjacent: Adjacent, conducts: Sequence[int], reached: list[int], starts: Iterable[int], held: Sequence[int]
) -> list[int]:
    """The same, but nothing enters a node in the cases in which it is `held` at the other potential."""
    level = list(starts)
    while level:
        following: dict[int, None] = {}
        for node in level:
            bits = reached[node]
            for far, path in adjacent[node]:
                fresh = bits & conducts[path] & ~reached[far] & ~held[far]
                if fresh:
                    reached[far] |= fresh
                    following[far] = None
        level = list(following)
    return reached
