"""Who is wired to whom in one problem, and from above or below where units hang."""

from __future__ import annotations

from collections.abc import Callable, Container

from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.drawing.problem import LEFT, RIGHT, End, Problem, Spot
from wiring.wording import natural

NodeOf = Callable[[End], Node]
UPPER, LOWER = LEFT, RIGHT


class Wiring:
    """Who is wired to whom in one problem."""

    def __init__(self, problem: Problem, node_of: NodeOf) -> None:
        self.problem, self.node_of = problem, node_of
        self.units = {unit.id: unit for unit in problem.units}
        self.joins = {join.wire: join for join in problem.joins}
        self.ends: dict[str, list[tuple[End, Spot]]] = {unit.id: [] for unit in problem.units}
        for join in problem.joins:
            self.ends[join.a[0]].append(((join.wire, 0), join.a))
            self.ends[join.b[0]].append(((join.wire, 1), join.b))
        for stub in problem.stubs:
            self.ends[stub.at[0]].append((stub.end, stub.at))

    def is_shield(self, end: End) -> bool:
        return any(self.node_of((end[0], n))[1] == ".shield" for n in (0, 1))

    def turn(self, name: str) -> None:
        self.units[name] = self.units[name].flipped()

    def stand(self, name: str, over: Container[str]) -> None:
        """Lanes of a machine that none of the units `over` it feeds leave it downwards."""
        unit, lanes = self.units[name], list(self.units[name].lanes)
        for end, (_, lane) in self.ends[name]:
            pair = self.far(end)
            if (pair is None or pair[1][0] not in over) and lanes[lane].left is not None:
                lanes[lane] = replace(lanes[lane], left=None, right=lanes[lane].left)
        self.units[name] = replace(unit, lanes=tuple(lanes))

    def side(self, end: End, spot: Spot) -> int:
        """The side of its unit that an end meets; terminal points have none of their own."""
        lane = self.units[spot[0]].lanes[spot[1]]
        return UPPER if lane.left == self.node_of(end) else LOWER

    def far(self, end: End) -> tuple[End, Spot] | None:
        """The other end of a wire, None where it leaves the sheet."""
        join = self.joins.get(end[0])
        if join is None:
            return None
        return ((end[0], 1), join.b) if end[1] == 0 else ((end[0], 0), join.a)

    def at(self, name: str, side: int) -> list[tuple[End, Spot]]:
        """The ends at one side of a unit, lane by lane."""
        found = [(end, spot) for end, spot in self.ends[name] if self.side(end, spot) == side]
        return sorted(found, key=lambda pair: (pair[1][1], natural(pair[0][0])))

    def mates(self, end: End, spot: Spot) -> list[tuple[End, Spot]]:
        """The other ends at the same terminal."""
        node = self.node_of(end)
        found = [pair for pair in self.ends[spot[0]] if pair[0] != end and self.node_of(pair[0]) == node]
        return sorted(found, key=lambda pair: natural(pair[0][0]))
