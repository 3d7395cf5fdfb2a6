"""Free connection points: on a bridged run of terminals, an earth bar, a piece of metal, an output of a card.

Where a run is full it grows by a terminal, which is told; where it cannot, nothing is taken.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from msgspec import Struct, field

from wiring.changes.names import numbered
from wiring.circuit.model import Circuit, Node, named
from wiring.parts.base import Part
from wiring.parts.elements import Link
from wiring.parts.passive import EarthBar, Metalwork, Terminals
from wiring.parts.signals import IoCard
from wiring.plan.edits import Edit, SetValue, scalar
from wiring.plan.source import Node as Written


def run_of(part: Part, terminal: str) -> list[str]:
    """The terminals that are one piece of metal with the given one inside the part, in their order on it."""
    near: dict[str, set[str]] = {}
    for element in part.elements:
        if isinstance(element, Link):
            near.setdefault(element.a, set()).add(element.b)
            near.setdefault(element.b, set()).add(element.a)
    found, queue = {terminal}, [terminal]
    for name in queue:
        fresh = sorted(near.get(name, set()) - found)
        found.update(fresh)
        queue += fresh
    return [name for name in part.terminals if name in found]


class Points(Struct):
    """Hands out connection points of one circuit. `grown` is how many points each part has in the end."""

    circuit: Circuit
    taken: set[Node] = field(default_factory=set)
    grown: dict[str, int] = field(default_factory=dict)
    added: dict[str, list[str]] = field(default_factory=dict)
    shared: Counter[Node] = field(default_factory=Counter)
    #: Parts that were given points of their own, which lie beside every bridge.
    apart: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.taken = {node for node, edges in self.circuit.edges_at.items() if self.circuit.conductors_at(node)}

    def free(self, node: Node) -> list[str]:
        """The free points that are one piece of metal with a terminal, in order; empty for any other kind of part."""
        part = self.circuit.parts[node[0]]
        if not isinstance(part.data, Terminals | EarthBar | Metalwork):
            return []
        return [name for name in run_of(part, node[1]) if (part.name, name) not in self.taken]

    def take(self, node: Node) -> Node | None:
        """A free point joined to the terminal, a grown one where none is left, the free side of one where it cannot
        grow; None where all are full.

        A terminal that is no such point is shared by one more conductor.
        """
        part = self.circuit.parts[node[0]]
        if not isinstance(part.data, Terminals | EarthBar | Metalwork):
            self.shared[node] += 1
            return node
        free = self.free(node)
        run = run_of(part, node[1])
        later = [name for name in free if run.index(name) > run.index(node[1])]
        name = (later or free or [""])[0] or self._grow(part, run)
        if name is None:
            return self._other_side(part, run)
        self.taken.add((part.name, name))
        return part.name, name

    def _other_side(self, part: Part, run: list[str]) -> Node | None:
        """A point of the run that takes one conductor more than it has."""
        for name in reversed(run):
            node, most = (part.name, name), part.terminals[name].wires_max
            if most is not None and len(self.circuit.conductors_at(node)) + self.shared[node] < most:
                self.shared[node] += 1
                return node
        return None

    def _grow(self, part: Part, run: list[str]) -> str | None:
        data = part.data
        assert isinstance(data, Terminals | EarthBar | Metalwork)
        alone = isinstance(data, Terminals) and len(run) == 1
        if run[-1] != str(data.points_) or data.terminals or alone or part.name in self.apart:
            return None
        return self._one_more(part.name, data.points_)

    def _one_more(self, name: str, before: int) -> str:
        count = self.grown.get(name, before) + 1
        self.grown[name] = count
        self.added.setdefault(name, []).append(str(count))
        return str(count)

    def single(self, node: Node) -> Node | None:
        """A point of its own on the part of a terminal, joined to nothing."""
        part = self.circuit.parts[node[0]]
        data = part.data
        if not isinstance(data, Terminals):
            return None
        for name in part.terminals:
            if (part.name, name) not in self.taken and run_of(part, name) == [name]:
                self.taken.add((part.name, name))
                return part.name, name
        if data.terminals or (part.name in self.grown and part.name not in self.apart):
            return None
        self.apart.add(part.name)
        return part.name, self._one_more(part.name, data.points_)

    def is_channel(self, node: Node) -> bool:
        """Whether a terminal is an input or output of a card."""
        return bool(self._channels(node))

    def _channels(self, node: Node) -> Mapping[str, str]:
        data = self.circuit.parts[node[0]].data
        rows = (data.outputs, data.inputs) if isinstance(data, IoCard) else ()
        return next((row for row in rows if node[1] in row), {})

    def channel(self, node: Node) -> Node | None:
        """A free input or output of the same sort on the same card, one of the same letter first; None without one."""
        part = self.circuit.parts[node[0]]
        channels, like = self._channels(node), numbered(node[1])
        word = channels[node[1]]
        free = [name for name, sort in channels.items() if sort == word and (part.name, name) not in self.taken]
        same = [name for name in free if like and (found := numbered(name)) and found[::2] == like[::2]]
        for name in same or free:
            self.taken.add((part.name, name))
            return part.name, name
        return None

    def edits(self, written: dict[str, Written]) -> list[Edit]:
        """What makes the grown parts as large as they must be; `written` is each part's entry in the plan."""
        found: list[Edit] = []
        for name, count in self.grown.items():
            found.append(SetValue(("parts", name, "points"), str(count)))
            data = self.circuit.parts[name].data
            bridged = data.bridged if isinstance(data, Terminals) else []
            if not isinstance(data, Terminals) or name in self.apart:
                continue
            place = next((n for n, run in enumerate(bridged) if _last(run) == str(data.points_)), 0)
            whole = [*bridged[:place], _stretched(bridged[place], count), *bridged[place + 1 :]]
            if written[name].child("bridged") is None:
                found.append(SetValue(("parts", name, "bridged"), f"[{', '.join(map(scalar, whole))}]"))
            else:
                found.append(SetValue(("parts", name, "bridged", place), scalar(whole[place])))
        return found

    def words(self) -> list[str]:
        """What had no room, for people."""
        told = []
        for name, count in self.grown.items():
            more = len(self.added[name])
            noun = "point" if more == 1 else "points"
            told.append(f"no free point on {name}: {more} {noun} added, {count} in all now")
        for node, more in self.shared.items():
            there = len(self.circuit.conductors_at(node))
            told.append(f"{named(node)} takes {there + more} conductors now, {there} before")
        return told


def _last(run: str) -> str:
    return run.rpartition("-")[2]


def _stretched(run: str, last: int) -> str:
    return f"{run.rpartition('-')[0]}-{last}"
