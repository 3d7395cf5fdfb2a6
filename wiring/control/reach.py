"""Which points a rail reaches, for all cases at once: one whole number a node.

A number has two halves. The low one holds where a rail perhaps reaches a point, along paths that might conduct; the
high one where it surely does, along paths that surely conduct. Loads, coils and lamps carry a rail on to points that
nothing holds at a potential: the sneak paths, low half only.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

#: Neighbours of every node: (far node, number of the path).
Adjacent = Sequence[Sequence[tuple[int, int]]]
#: Faults that join two nodes, in lists in which no case has two of them: (node, the cases that join it to another one,
#: in halves).
Bridges = Sequence[Sequence[tuple[int, int]]]


def spread(
    adjacent: Adjacent,
    bridges: Bridges,
    conducts: Sequence[int],
    reached: list[int],
    starts: Iterable[int],
    once: bool,
    free: Sequence[int],
) -> list[int]:
    """Spread the bits at `starts` along every path as far as it conducts; `reached` is filled and given back. A node is
    entered only in the cases in which it is `free`.

    Bridges are hundreds, each of one case, most of them at the same few rails: they are tried when the paths are done,
    all of a list at once, and `once` where no case has two of them.
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
                    now = have | bits & conducts[path] & free[far]
                    if now != have:
                        reached[far] = now
                        following[far] = None
            level = list(following)
        if over:
            break
        over = once
        for some in bridges:
            both = 0
            for node, cases in some:
                both |= reached[node] & cases
            if both:
                for node, cases in some:
                    have = reached[node]
                    now = have | both & cases & free[node]
                    if now != have:
                        reached[node] = now
                        level.append(node)
        level = list(dict.fromkeys(level))
    return reached
