"""Which points a rail reaches, for all cases at once: one whole number a node.

A number has two halves. The low one holds where a rail perhaps reaches a point, along paths that might conduct; the
high one where it surely does, along paths that surely conduct. Loads, coils and lamps carry a rail on to points that
nothing holds at a potential: the sneak paths, low half only.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from wiring.effort import spend

#: Neighbours of every node: (far node, number of the path).
Adjacent = Sequence[Sequence[tuple[int, int]]]
#: Faults that join two nodes, in lists in which no case has two of them: by node the cases that join it to another one,
#: in halves, and these other nodes.
Bridges = Sequence[Mapping[int, tuple[int, frozenset[int]]]]


def spread(
    adjacent: Adjacent,
    bridges: Bridges,
    conducts: Sequence[int],
    reached: list[int],
    starts: Iterable[int],
    once: bool,
    weight: int,
    free: Sequence[int] | None = None,
) -> set[int]:
    """Spread the bits at `starts` along every path as far as it conducts, into `reached`; the nodes where they are now.
    A node is entered only in the cases in which it is `free`, where that is given. Each way from a node is a step, and
    costs its `weight`.

    Bridges are hundreds, each of one case, most of them at the same few rails: they are tried when the paths are done,
    all of a list at once, and `once` where no case has two of them.
    """
    level = dict.fromkeys(starts, -1)
    entered: set[int] = set()
    over = False
    while level:
        _walked_on(adjacent, conducts, reached, level, weight, free, entered)
        if over:
            break
        over = once
        level = {}
        for some in bridges:
            both, joined = 0, set[int]()
            for node in entered & some.keys():
                cases, others = some[node]
                if held := reached[node] & cases:
                    both |= held
                    joined |= others
            for node in joined:
                have, cases = reached[node], both & some[node][0]
                now = have | (cases if free is None else cases & free[node])
                if now != have:
                    reached[node] = now
                    level[node] = -1
    entered.update(level)
    return entered


def _walked_on(
    adjacent: Adjacent,
    conducts: Sequence[int],
    reached: list[int],
    level: dict[int, int],
    weight: int,
    free: Sequence[int] | None,
    entered: set[int],
) -> None:
    """Spread along the paths from the nodes of a level, each with the one node that it has its new bits from, or -1:
    nothing new goes back there. All of them come to `entered`."""
    steps = 0
    while level:
        entered.update(level)
        following: dict[int, int] = {}
        for node, came in level.items():
            bits, near = reached[node], adjacent[node]
            steps += len(near)
            for far, path in near:
                if far == came:
                    continue
                have = reached[far]
                if have is bits:
                    continue
                way = bits & conducts[path] if free is None else bits & free[far] & conducts[path]
                if not way:
                    continue
                now = have | way if have else way if way != bits else bits
                if now != have:
                    reached[far] = now
                    following[far] = node if following.get(far, node) == node else -1
        level = following
    spend(weight * steps)
