"""Sets that grow together: which of some things are joined, directly or through others."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import TypeVar

T = TypeVar("T", bound=Hashable)


class DisjointSets:
    """Union-find over the numbers below `count`; the least of a set stands for it (Tarjan, "Efficiency of a good but
    not linear set union algorithm", Journal of the ACM 22, 1975)."""

    __slots__ = ("parent",)

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))

    def find(self, number: int) -> int:
        """The number that stands for the set of this one."""
        parent = self.parent
        root = number
        while parent[root] != root:
            root = parent[root]
        while parent[number] != root:
            parent[number], number = root, parent[number]
        return root

    def join(self, a: int, b: int) -> None:
        """Makes one set of those of two numbers."""
        first, second = self.find(a), self.find(b)
        if first < second:
            self.parent[second] = first
        elif second < first:
            self.parent[first] = second

    def copy(self) -> DisjointSets:
        """The same sets, free to grow apart from these."""
        twin = DisjointSets(0)
        twin.parent = self.parent.copy()
        return twin


def joined(things: Iterable[T], pairs: Iterable[tuple[T, T]]) -> dict[T, T]:
    """For each thing the first one, in their order, that pairs join it to; itself where nothing does."""
    order = list(dict.fromkeys(things))
    number = {thing: n for n, thing in enumerate(order)}
    sets = DisjointSets(len(order))
    for a, b in pairs:
        sets.join(number[a], number[b])
    return {thing: order[sets.find(n)] for n, thing in enumerate(order)}
