"""One wire past the contacts of a stop, at every point: past all of them in a pole, or past one of them.

What the stop opens is read from the two solved positions of the machine; which contacts lie in a row on the way from a
source to a hazard, or to a coil that lets go, is found by networkx.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import networkx
from law_cases import SPECS, Case, sound
from plain_plans import Plan

from wiring.circuit.model import Node
from wiring.design.stop.hazards import drives_of, probes_of
from wiring.design.stop.stops import StopEffect
from wiring.parts.elements import Coil, Pole, Switch
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint


@dataclass(frozen=True)
class Bypass:
    """A wire from `start` to `end` past `contacts`, which a stop opens on the way to `load`, in its order from there.

    `whole`: they are all that the stop opens on the ways to the load, so that the wire alone keeps it fed.
    """

    plan: str
    stop: str
    load: str
    start: Node
    end: Node
    contacts: tuple[str, ...]
    whole: bool

    @property
    def case(self) -> Case:
        ends = f"{':'.join(self.start)}>{':'.join(self.end)}"
        return Case(f"{self.plan} bypass {ends}", partial(_wired, ends=ends))


def _wired(plan: Plan, ends: str) -> None:
    start, end = ends.split(">")
    like = next(wire for wire in plan["wires"] if "type" in wire)
    plan["wires"].append({"wire": "BYPASS", "from": start, "to": end, "type": like["type"], "length": "0.3 m"})


def bypasses() -> list[Bypass]:
    """Every wire past contacts of a stop, each once."""
    found: dict[str, Bypass] = {}
    for name in SPECS:
        for one in _of(name):
            known = found.get(one.case.name)
            if known is None or (one.whole and not known.whole):
                found[one.case.name] = one
    return list(found.values())


def _of(name: str) -> Iterator[Bypass]:
    design = sound(name)
    for effect in design.stops:
        running = design.stop_proof.running
        graph, opened = _graph(running), _closed(running) - _closed(effect.point)
        for load, ends in _loads(name, effect, running):
            rows = [row for end in ends if (row := _row(graph, opened, end, _sources(name)))]
            for row in rows:
                # A contact in another pole still opens, and a second channel still counts: only one pole is the whole.
                yield from _past(name, effect.stop, load, row, alone=len(rows) == 1)


def _closed(point: OperatingPoint) -> set[str]:
    return {edge.id for edge in point.lowered.edges if is_closed(edge, point.position.moved, point.position.opened)}


def _graph(running: OperatingPoint) -> networkx.Graph:
    """Everything that is closed in the running machine, each edge with its id."""
    graph = networkx.Graph()
    circuit, closed = running.lowered.circuit, _closed(running)
    for edge in circuit.edges:
        switch = isinstance(getattr(edge, "element", None), Switch | Pole)
        if (edge.id in closed or not switch) and getattr(edge, "kind", "wire") != "shield":
            graph.add_edge(edge.a, edge.b, id=edge.id)
    return graph


def _sources(name: str) -> set[Node]:
    """The poles from which power comes: lines, and plus or either end of a supply."""
    return {pole.node for pole in sound(name).nets.poles if pole.main and pole.sign not in ("N", "-")}


def _loads(name: str, effect: StopEffect, running: OperatingPoint) -> Iterator[tuple[str, list[Node]]]:
    """The hazards that the stop removes, with the points at which they are fed, and the coils that let go."""
    design = sound(name)
    for removed in effect.removed:
        part = design.parts[removed]
        for feed in drives_of(part, design.axes) or [part]:
            yield (
                removed,
                sorted(
                    {
                        (one.part, end)
                        for one in probes_of(part, design.axes)
                        for end in (one.a, one.b)
                        if one.part == feed.name
                    }
                ),
            )
    dropped = running.attracted - effect.point.attracted
    for part, coil in design.circuit.elements(Coil):
        if isinstance(coil, Coil) and (part.name, coil.moves) in dropped and coil.moves in ("coil", "sto1", "sto2"):
            yield part.name, [(part.name, coil.a), (part.name, coil.b)]


def _row(graph: networkx.Graph, opened: set[str], end: Node, sources: set[Node]) -> list[tuple[Node, str, Node]]:
    """The contacts that the stop opens on the shortest way from a source to a point, from the source on."""
    if end not in graph:
        return []
    ways = networkx.single_source_shortest_path(graph, end)
    near = min((len(ways[node]), node) for node in sources if node in ways) if sources & ways.keys() else None
    way = list(reversed(ways[near[1]])) if near else []
    steps = [(a, graph.edges[a, b]["id"], b) for a, b in pairwise(way)]
    return [step for step in steps if step[1] in opened]


def _past(name: str, stop: str, load: str, row: list[tuple[Node, str, Node]], *, alone: bool) -> Iterator[Bypass]:
    for first in range(len(row)):
        for last in range(first, len(row)):
            start, end = row[first][0], row[last][2]
            if not start[1].startswith(".") and not end[1].startswith("."):
                contacts = tuple(step[1] for step in row[first : last + 1])
                whole = alone and len(contacts) == len(row) and load in _hazards(name)
                yield Bypass(name, stop, load, start, end, contacts, whole)


def _hazards(name: str) -> set[str]:
    return {part.name for part in sound(name).parts.values() if part.data.is_hazard()}
