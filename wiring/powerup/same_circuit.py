"""Faults that leave the circuit as it was: in every position all that is connected stands at the same voltage, and each
conductor carries the same current, so that nothing comes of them.

Two kinds. Two conductors changed over that turn one metal contact, or a loop of such contacts, round as a whole: with
nothing else at its two terminals it conducts both ways alike. And a bridge, a link or a contact at a terminal at which
nothing hangs: no current has a way there.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from wiring.circuit.model import Circuit, Conductor, Edge, Inner, Node
from wiring.parts.elements import Feed, Link, Logic, Pole, Switch
from wiring.parts.operators import HandOperated
from wiring.parts.passive import Terminals
from wiring.parts.protection import Disconnector
from wiring.parts.switching import Coiled, SafetyRelay

#: Parts whose terminals without a conductor have nothing behind them but their own contacts, links and coils.
_WITH_SPARES = (Terminals, Coiled, SafetyRelay, HandOperated)


class SameCircuit:
    """Asked of pairs of terminals and of paths of one circuit."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        #: Terminals that an element of a load, a source or a coil joins, for each other.
        self._loads: dict[Node, list[Node]] = {}
        for part in circuit.parts.values():
            for element in part.elements:
                if not isinstance(element, Link | Switch | Pole | Logic):
                    names = [
                        getattr(element, name)
                        for name in ("a", "b", "plus", "minus", "terminal")
                        if hasattr(element, name)
                    ]
                    for name in names:
                        self._loads.setdefault((part.name, name), []).extend((part.name, other) for other in names)

    def turned(self) -> Iterator[tuple[Node, Node]]:
        """Every two terminals of a part, neighbours as they are marked, whose conductors changed over turn something
        round."""
        for part in self.circuit.parts.values():
            for first, second in pairwise(part.terminals):
                if self.turns((part.name, first), (part.name, second)):
                    yield (part.name, first), (part.name, second)

    def turns(self, first: Node, second: Node) -> bool:
        """Whether the conductors at two terminals of a part, one at each, changed over leave the same circuit."""
        wires = [self._wires(end) for end in (first, second)]
        if any(len(mine) != 1 for mine in wires):
            return False
        inside = [edge for edge in self.circuit.edges_at[first] if isinstance(edge, Inner)]
        if len(inside) == 1 and self._goes_on(first, wires[0][0]) == second:
            return self._goes_on(second, wires[1][0]) == first
        return self._loop_end(first, wires[0][0]) == second

    def spare(self) -> Iterator[Node]:
        """Terminals without a conductor of parts that may have some."""
        for node in self.circuit.nodes:
            part = self.circuit.parts.get(node[0])
            named = part is not None and not node[1].startswith(".") and isinstance(part.data, _WITH_SPARES)
            if named and not self._wires(node):
                yield node

    def is_idle(self, first: Node, second: Node) -> bool:
        """Whether a bridge between two terminals leads nowhere: nothing hangs at one of them, in no position."""
        return any(self._is_spare_part(end) and self._hangs_nothing(end) for end in (first, second))

    def is_idle_path(self, path: Inner) -> bool:
        """Whether a path inside a part, open or closed, leads nowhere."""
        return any(self._hangs_nothing(end, path) for end in (path.a, path.b))

    def _is_spare_part(self, end: Node) -> bool:
        part = self.circuit.parts.get(end[0])
        return part is not None and isinstance(part.data, _WITH_SPARES)

    def _wires(self, node: Node) -> list[Edge]:
        return [edge for edge in self.circuit.edges_at[node] if isinstance(edge, Conductor)]

    def _goes_on(self, node: Node, came: Edge) -> Node | None:
        """The far end of the one metal contact or conductor that a node has beside where one `came`; None where it has
        more than that, or anything else."""
        onward = [edge for edge in self.circuit.edges_at[node] if edge is not came]
        if len(onward) != 1 or node in self._loads or not self._turns_alike(onward[0]):
            return None
        return onward[0].other(node)

    def _turns_alike(self, edge: Edge) -> bool:
        """A conductor, a link or a metal contact; at a main switch the line side is the one that stays live."""
        if isinstance(edge, Conductor):
            return edge.kind != "shield"
        contact = isinstance(edge.element, Switch) and not edge.element.solid_state
        own = not isinstance(self.circuit.parts[edge.part].data, Disconnector)
        return (contact and own) or isinstance(edge.element, Link)

    def _loop_end(self, node: Node, came: Edge) -> Node:
        """Where a chain ends that begins with a conductor at a terminal and has nothing else at it."""
        start, at = node, came.other(node)
        while (onward := self._goes_on(at, came)) is not None and onward != start:
            came = next(edge for edge in self.circuit.edges_at[at] if edge is not came)
            at = onward
        return at

    def _hangs_nothing(self, node: Node, past: Inner | None = None) -> bool:
        """Whether no conductor and no supply comes to a node through what is inside its part, `past` a path of it."""
        seen, left = {node}, [node]
        while left:
            at = left.pop()
            edges = [edge for edge in self.circuit.edges_at[at] if edge is not past]
            if any(isinstance(edge, Conductor) for edge in edges) or self._is_fed(at):
                return False
            for far in (*(edge.other(at) for edge in edges), *self._loads.get(at, ())):
                if far not in seen:
                    seen.add(far)
                    left.append(far)
        return True

    def _is_fed(self, node: Node) -> bool:
        part = self.circuit.parts.get(node[0])
        return part is not None and any(feed.terminal == node[1] for feed in part.of(Feed))
