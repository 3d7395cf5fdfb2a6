"""Which faults the sound machine would not notice in a position: nothing flows there, nothing stands at a voltage."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from wiring.circuit.model import Node
from wiring.parts.elements import Coil, Draw, Input, Output, Rectifying, Resistance
from wiring.powerup.machine import Run
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint

_STILL_A = 1e-9
_SAME_V = 1e-9


class LiveNotice:
    """A run, asked about pairs of points; everything is judged over the whole way into the position."""

    def __init__(self, run: Run, probes: Sequence[tuple[Node, Node]]) -> None:
        self.run = run
        self.index = run.point.lowered.index
        circuit = run.point.lowered.circuit
        fed = [((part.name, e.a), (part.name, e.b)) for part, e in circuit.elements(Input) if isinstance(e, Input)]
        #: The probes, and where supplies see whether they are fed: one that takes nothing needs its voltage too.
        self.probes = [(self.index[a], self.index[b]) for a, b in (*probes, *fed)]
        self.flowing: set[tuple[int, int]] = set()
        for point in run.trail:
            self._flows(point)
        self.ways = self._ways(run.point)
        self.groups = [self._groups(self._ways(point)) for point in run.trail]

    def _flows(self, point: OperatingPoint) -> None:
        amps = [point.path_current(kind) for kind in ("DC", "AC")]
        for edge in point.lowered.edges:
            if any(abs(layer.get(edge.id, 0.0)) > _STILL_A for layer in amps):
                self.flowing |= {(edge.a, edge.b), (edge.b, edge.a)}

    def _ways(self, point: OperatingPoint) -> dict[int, list[int]]:
        """Everything that ties two nodes together: what conducts, and loads that take current."""
        ways: dict[int, list[int]] = {}
        amps = [point.element_current(kind) for kind in ("DC", "AC")]
        position = point.position
        pairs = [
            (edge.a, edge.b)
            for edge in point.lowered.edges
            if is_closed(edge, position.moved, position.opened, position.closed)
        ]
        for part in point.lowered.circuit.parts.values():
            for n, element in enumerate(part.elements):
                idle = all(abs(layer.get((part.name, n), 0.0)) <= _STILL_A for layer in amps)
                if isinstance(element, Draw | Input) and idle:
                    continue
                if isinstance(element, Resistance | Coil | Draw | Input | Rectifying):
                    pairs.append((self.index[part.name, element.a], self.index[part.name, element.b]))
                elif isinstance(element, Output):
                    pairs.append((self.index[part.name, element.plus], self.index[part.name, element.minus]))
        pairs += [(branch.a, branch.b) for branch in point.lowered.mains_branches]
        pairs += [(source.plus, source.minus) for source in point.lowered.mains_sources]
        for a, b in pairs:
            if a != b:
                ways.setdefault(a, []).append(b)
                ways.setdefault(b, []).append(a)
        return ways

    def carries(self, a: Node, b: Node) -> bool:
        """Whether a path between two points carries current at any moment."""
        return (self.index[a], self.index[b]) in self.flowing

    def differs(self, a: Node, b: Node) -> bool:
        """Whether joining two points changes anything: they stand at different voltages at some moment."""
        first, second = self.index[a], self.index[b]
        if first == second:
            return False
        for point, group in zip(self.run.trail, self.groups, strict=True):
            ends = {group.get(first, -1 - first), group.get(second, -1 - second)}
            if len(ends) == 1 and _differs(point, a, b):
                return True
            if len(ends) == 2 and any({group.get(x, -1 - x), group.get(y, -1 - y)} == ends for x, y in self.probes):
                return True
        return False

    @staticmethod
    def _groups(ways: dict[int, list[int]]) -> dict[int, int]:
        """For every node the least one that it hangs together with. One tie between two groups carries no current."""
        group: dict[int, int] = {}
        for start in sorted(ways):
            if start in group:
                continue
            queue = [start]
            group[start] = start
            while queue:
                for near in ways[queue.pop()]:
                    if near not in group:
                        group[near] = start
                        queue.append(near)
        return group

    def parts_probes(self, a: Node, b: Node) -> bool:
        """Whether opening a path that carries nothing leaves the probes of some line without a common potential."""
        first, second = self.index[a], self.index[b]
        if self.ways.get(first, []).count(second) > 1:
            return False
        side, queue = {first}, deque([first])
        while queue:
            node = queue.popleft()
            for near in self.ways.get(node, ()):
                if near in side or {node, near} == {first, second}:
                    continue
                if near == second:
                    return False
                side.add(near)
                queue.append(near)
        return any((x in side) != (y in side) for x, y in self.probes)


def _differs(point: OperatingPoint, a: Node, b: Node) -> bool:
    """Whether two points of one group stand at different voltages, earthed or floating."""
    return any(abs(point.between(a, b, kind)) > _SAME_V for kind in ("DC", "AC"))
