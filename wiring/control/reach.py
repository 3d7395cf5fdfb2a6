"""Which points a rail reaches, for all cases at once: one whole number a node.

A number has two halves. The low one holds where a rail perhaps reaches a point, along paths that might conduct; the
high one where it surely does, along paths that surely conduct. Loads, coils and lamps carry a rail on to points that
nothing holds at a potential: the sneak paths, low half only.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

#: Neighbours of every node: (far node, number of the path).
Adjacent = Sequence[Sequence[tuple[int, int]]]
#: Faults that join two nodes: (node, node, the cases in which they do, in halves).
Bridges = Sequence[tuple[int, int, int]]


def spread(
    adjacent: Adjacent,
    bridges: Bridges,
    conducts: Sequence[int],
    reached: list[int],
    starts: Iterable[int],
    once: bool,
) -> list[int]:
    """Spread the bits at `starts` along every path as far as it conducts; `reached` is filled and given back.

    Bridges are hundreds, each of one case, most of them at the same few rails: they are tried when the paths are done,
    and `once` where no case has two of them.
    """
    level = list(starts)
    over = False
    while level:
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
        if over:
            break
        over = once
        for a, b, cases in bridges:
            first, second = reached[a], reached[b]
            if (first ^ second) & cases:
                both = (first | second) & cases
                reached[a], reached[b] = first | both, second | both
                level += (a, b)
        level = list(dict.fromkeys(level))
    return reached


def spread_apart(
    adjacent: Adjacent,
    bridges: Bridges,
    conducts: Sequence[int],
    reached: list[int],
    starts: Iterable[int],
    free: Sequence[int],
    once: bool,
) -> list[int]:
    """The same for the low half, but a node is entered only in the cases in which it is `free` of the other rail."""
    level = list(starts)
    over = False
    while level:
        while level:
            following: dict[int, None] = {}
            for node in level:
                bits = reached[node]
                for far, path in adjacent[node]:
                    have = reached[far]
                    now = have | bits & conducts[path] & free[far]
                    if now != have:
                        reached[far] = now
                        following[far] = None
            level = list(following)
        if over:
            break
        over = once
        for a, b, cases in bridges:
            first, second = reached[a], reached[b]
            if (first ^ second) & cases:
                both = (first | second) & cases
                now_a, now_b = first | both & free[a], second | both & free[b]
                if now_a != first:
                    reached[a] = now_a
                    level.append(a)
                if now_b != second:
                    reached[b] = now_b
                    level.append(b)
        level = list(dict.fromkeys(level))
    return reached
