"""Which of a circuit can ever carry current at one frequency, wherever its contacts stand.

Current flows in rings: a block of the network (in the sense of graphs, every contact taken as closed) without a source
of that frequency carries none, and all that is joined in it stands at one potential. A contact there changes no voltage
between two ends of anything, so a layer that was solved with it open serves with it closed as well.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from wiring.parts.elements import Coil, Draw, Input, Output, Rectifying, Resistance
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import ConductingElement, Lowered
from wiring.solver.passive import Passive
from wiring.walks import blocks, walk

#: What has two ends between which a voltage counts.
_LOADS = (Coil, Draw, Input, Resistance)


class Live(Struct, frozen=True):
    """What counts at one frequency: the ids of paths, what moves them, the bridges, and whether the mains do; `wired`
    of the paths are edges of the circuit."""

    paths: frozenset[str]
    actuators: frozenset[Actuator]
    bridges: tuple[ConductingElement, ...]
    mains: bool
    wired: int


class LiveBlocks:
    """The blocks of a circuit at one frequency, and those that bridges between two nodes make one."""

    def __init__(self, lowered: Lowered, kind: str) -> None:
        self.kind = kind
        passive = Passive(lowered, kind)
        self.ends = [(branch.a, branch.b) for branch in passive.branches]
        self.keys: list[object] = list(passive.keys)
        self.mover = {path: actuator for _, path, actuator, _ in passive.switches}
        sources = self._sources(lowered)
        for part, element in lowered.circuit.elements(*_LOADS, *((Rectifying,) if kind == "DC" else ())):
            assert isinstance(element, Coil | Draw | Input | Resistance | Rectifying)
            self._join(lowered.index[part.name, element.a], lowered.index[part.name, element.b])
        self.blocks = [frozenset(some) for some in blocks(self.ends)]
        self.sourced = {n for n, some in enumerate(self.blocks) if some & sources}
        self.block_of = {edge: n for n, some in enumerate(self.blocks) for edge in some}
        self._grow()
        self.plain = self._live(frozenset(), ())

    def _sources(self, lowered: Lowered) -> set[int]:
        """Enter the sources of this frequency."""
        first = len(self.ends)
        for part, element in lowered.circuit.elements(Output):
            assert isinstance(element, Output)
            if element.kind == self.kind:
                self._join(lowered.index[part.name, element.plus], lowered.index[part.name, element.minus])
        for source in lowered.mains_sources if self.kind == "AC" else ():
            self._join(source.plus, source.minus)
        return set(range(first, len(self.ends)))

    def _join(self, a: int, b: int) -> None:
        self.ends.append((a, b))
        self.keys.append(("", 0))

    def _grow(self) -> None:
        """A forest over the nodes: of every node its depth, the one above, and the block that lies between."""
        near: dict[int, list[tuple[int, int]]] = {}
        for n, (a, b) in enumerate(self.ends):
            near.setdefault(a, []).append((n, b))
            near.setdefault(b, []).append((n, a))
        self.above: dict[int, tuple[int, int, int]] = {}
        for start in near:
            if start not in self.above:
                self.above[start] = (0, start, -1)
                for node, step in walk([start], lambda node: near.get(node, ())).items():
                    if step is not None:
                        before, edge = step
                        self.above[node] = self.above[before][0] + 1, before, self.block_of[edge]

    def _between(self, a: int, b: int) -> frozenset[int] | None:
        """The blocks that lie between two nodes; None where nothing joins them."""
        found = set()
        while a != b:
            if self.above[a][0] < self.above[b][0]:
                a, b = b, a
            _, before, block = self.above[a]
            if block < 0:
                return None
            found.add(block)
            a = before
        return frozenset(found)

    def live(self, bridges: Sequence[ConductingElement]) -> Live:
        """What counts with some bridges: each makes the blocks between its ends one."""
        if not bridges:
            return self.plain
        known = [one for one in bridges if one.a in self.above and one.b in self.above]
        ways = [self._between(one.a, one.b) for one in known]
        if len(bridges) > 1 and (None in ways or len(known) < len(bridges)):
            return self._live(frozenset(range(len(self.blocks))), (*bridges,))
        merged = [way for way in ways if way is not None]
        reached: set[int] = set()
        for _ in merged:
            for way in merged:
                if way & (reached | self.sourced):
                    reached |= way
        flowing = tuple(one for one, way in zip(known, ways, strict=True) if way is not None and way <= reached)
        return self._live(frozenset(reached), flowing) if flowing else self.plain

    def _live(self, more: frozenset[int], bridges: tuple[ConductingElement, ...]) -> Live:
        keys = [self.keys[edge] for block in self.sourced | more for edge in self.blocks[block]]
        paths = frozenset(key for key in keys if isinstance(key, str))
        actuators = frozenset(self.mover[path] for path in paths if path in self.mover)
        return Live(paths, actuators, bridges, self.kind == "AC" or None in keys, len(paths))
