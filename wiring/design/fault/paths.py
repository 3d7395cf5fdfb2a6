"""The ways a short-circuit current takes: from every source outwards, with the protective devices it passes.

Both sides of every source are walked by the way of least resistance. Where several sources meet, one that does not
limit its current goes first, however far it is: it is the one that burns. Contacts count as closed as the running
machine closes them; a contact that is open then is passed only where nothing else leads on, because it may close.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from heapq import heappop, heappush
from itertools import count
from math import inf

from msgspec import Struct

from wiring.circuit.model import Circuit, Conductor, Edge, Inner, Node
from wiring.circuit.reversing import partners, reversals
from wiring.circuit.roles import is_earth_point
from wiring.design.device.devices import UPSTREAM
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.disjoint_sets import joined
from wiring.parts.elements import Feed, Input, Link, Output, Pole, Switch
from wiring.parts.sources import RegulatedSource, says_its_limit
from wiring.solver.lowering import is_closed, line_to_neutral_v

MAINS = "mains"
#: A part that keeps such a resistance between two of its terminals limits a short circuit behind it by itself [ohm]
#: (own choice: 24 A at 24 V; channels of safety relays and transistor outputs have ten and more).
LIMITING_OHM = 1.0


class Origin(Struct, frozen=True):
    """A source as a short circuit sees it; `part` is its name, or "mains".

    `limit_a` is infinite for a stiff source. `known` is False where the plan does not say what it does when overloaded.
    `ratio` and `feed` tell a source whose voltage follows its input: the impedance there counts with the ratio squared.
    """

    part: str
    kind: str
    plus: Node
    minus: Node | None
    volts: float
    limit_a: float = inf
    peak_a: float = 0.0
    cuts_out: bool = False
    known: bool = True
    capacitance_f: float = 0.0
    ratio: float = 0.0
    feed: tuple[Node, Node] | None = None


class Reached(Struct, frozen=True):
    """A node on the way of a fault: distance from the source [ohm], way back, devices passed, source first."""

    origin: int
    ohm: float
    back: Edge | None
    before: Node | None
    devices: tuple[str, ...]


class FaultPaths(Struct, frozen=True):
    """`hot` and `returns` by node; `closed` are the ids of all paths that the two walks take as conducting.

    `joined` holds by its number the other sources that each origin feeds the same rail with.
    """

    origins: tuple[Origin, ...]
    hot: Mapping[Node, Reached]
    returns: Mapping[Node, Reached]
    closed: frozenset[str]
    joined: Mapping[int, tuple[int, ...]]


def _mains_origins(machine: Machine) -> Iterable[Origin]:
    mains = machine.plan.mains
    if mains is None:
        return
    volts = line_to_neutral_v(mains)
    for part, element in machine.circuit.elements(Feed):
        if element.conductor in ("N", "PE"):
            continue
        neutral = next((e for e in part.of(Feed) if e.conductor == "N"), None)
        minus = (part.name, neutral.terminal) if neutral else None
        yield Origin(MAINS, "AC", (part.name, element.terminal), minus, volts)


def _source_volts(operation: Operation, key: tuple[str, int], output: Output) -> float:
    """Open voltage of a source: its setting, or for one that follows its input the highest of all states."""
    if output.ratio is None:
        return output.volts
    found = 0.0
    for point in operation.states.values():
        assembled = point.layer(output.kind).assembled
        for name, source in zip(assembled.source_keys, assembled.network.sources, strict=True):
            if name == key:
                found = max(found, abs(source.volts))
    return found


def _output_origins(machine: Machine, operation: Operation) -> Iterable[Origin]:
    for part in machine.parts.values():
        for n, element in enumerate(part.elements):
            if not isinstance(element, Output) or element.name != "output":
                continue
            data = part.data
            feed = next((i for i in part.of(Input) if i.name == element.input), None)
            yield Origin(
                part.name,
                element.kind,
                (part.name, element.plus),
                (part.name, element.minus),
                _source_volts(operation, (part.name, n), element),
                inf if element.limit_a is None else element.limit_a,
                (data.peak or 0.0) if isinstance(data, RegulatedSource) else 0.0,
                element.overload in ("hiccup", "latch-off"),
                says_its_limit(data),
                (data.output_capacitance or 0.0) if isinstance(data, RegulatedSource) else 0.0,
                element.ratio or 0.0,
                ((part.name, feed.a), (part.name, feed.b)) if feed and element.ratio is not None else None,
            )


def _passes(circuit: Circuit, edge: Edge) -> bool:
    if isinstance(edge, Conductor):
        return edge.kind != "shield" and not (is_earth_point(circuit, edge.a) or is_earth_point(circuit, edge.b))
    return not (isinstance(edge.element, Link | Switch) and edge.element.ohm >= LIMITING_OHM)


class _Step(Struct, frozen=True):
    """A node that a walk may reach next, at its distance [ohm], from the node `before` by the way `back`."""

    ohm: float
    origin: int
    limited: bool
    node: Node
    before: Node | None = None
    back: Edge | None = None


class Closing:
    """The contactors that walks have taken as closed though they are open now: of two that turn a motor round the one
    that was met first, since both would short the lines."""

    def __init__(self, machine: Machine) -> None:
        self.apart = partners(reversals(machine.circuit))
        self.taken: set[str] = set()

    def take(self, part: str) -> bool:
        """Whether a part may be closed beside those that are; it is from then on."""
        if self.apart.get(part, frozenset()) & self.taken:
            return False
        self.taken.add(part)
        return True


class _Walk:
    """One walk by least resistance from several starts at once."""

    def __init__(
        self,
        circuit: Circuit,
        ohm: Mapping[str, float],
        conducts: Callable[[Edge], bool],
        devices: Collection[str],
        taken: Mapping[Node, Reached],
        closing: Closing,
    ) -> None:
        self.closing = closing
        self.circuit, self.ohm, self.conducts, self.devices, self.taken = circuit, ohm, conducts, devices, taken
        self.found: dict[Node, Reached] = {}
        self.steps = count()
        self.heap: list[tuple[bool, float, int, Node, str, int, _Step]] = []
        self.open: list[_Step] = []

    def run(self, starts: list[tuple[int, bool, Node, tuple[str, ...]]]) -> dict[Node, Reached]:
        first = {node: devices for _, _, node, devices in starts}
        for number, limited, node, _ in starts:
            self.wait(_Step(0.0, number, limited, node))
        while self.heap:
            step = heappop(self.heap)[-1]
            if step.node not in self.found and step.node not in self.taken:
                devices = self.passed(step.before, step.back, first.get(step.node, ()))
                self.reach(Reached(step.origin, step.ohm, step.back, step.before, devices), step)
            if not self.heap:
                self.resume()
        return self.found

    def wait(self, step: _Step) -> None:
        """Put a step in the queue; conductors in parallel of one resistance have the order of their names."""
        name = step.back.id if step.back is not None else ""
        heappush(self.heap, (step.limited, step.ohm, step.origin, step.node, name, next(self.steps), step))

    def resume(self) -> None:
        """Go on through contacts that are open now, to nodes that nothing else reaches."""
        waiting, self.open = self.open, []
        for step in waiting:
            may_close = not isinstance(step.back, Inner) or self.closing.take(step.back.part)
            if may_close and step.node not in self.found and step.node not in self.taken:
                self.wait(step)

    def passed(self, before: Node | None, back: Edge | None, first: tuple[str, ...]) -> tuple[str, ...]:
        devices = self.found[before].devices if before is not None else first
        if isinstance(back, Inner) and isinstance(back.element, Pole) and back.part in self.devices:
            return (*devices, back.part)
        return devices

    def reach(self, here: Reached, last: _Step) -> None:
        node = last.node
        self.found[node] = here
        for edge in self.circuit.edges_at[node]:
            far = edge.other(node)
            if far in self.found or far in self.taken or edge is here.back or not _passes(self.circuit, edge):
                continue
            step = _Step(here.ohm + self.ohm.get(edge.id, 0.0), here.origin, last.limited, far, node, edge)
            if self.conducts(edge):
                self.wait(step)
            else:
                self.open.append(step)


def find_fault_paths(machine: Machine, operation: Operation, devices: Collection[str]) -> FaultPaths:
    """The ways of fault currents through the whole machine; `devices` are the names of its protective devices."""
    circuit, lowered = machine.circuit, machine.lowered
    position = operation.states[min(operation.states)].position
    closed = {edge.id for edge in lowered.edges if is_closed(edge, position.moved, position.opened)}

    def conducts(edge: Edge) -> bool:
        return edge.id in closed or not (isinstance(edge, Inner) and isinstance(edge.element, Switch))

    ohm = lowered.ohms
    origins = (*_mains_origins(machine), *_output_origins(machine, operation))
    first: tuple[str, ...] = (UPSTREAM,) if machine.plan.mains and machine.plan.mains.upstream else ()
    none: tuple[str, ...] = ()
    minus = [(n, False, origin.minus, none) for n, origin in enumerate(origins) if origin.minus is not None]
    closing = Closing(machine)
    returns = _Walk(circuit, ohm, conducts, devices, {}, closing).run(minus)
    plus = [
        (n, origin.limit_a < inf, origin.plus, first if origin.part == MAINS else none)
        for n, origin in enumerate(origins)
    ]
    hot = _Walk(circuit, ohm, conducts, devices, returns, closing).run(plus)
    passed = {reached.back.id for walk in (hot, returns) for reached in walk.values() if reached.back is not None}
    return FaultPaths(origins, hot, returns, frozenset(closed | passed), _joined(circuit, origins, hot, conducts))


def _joined(
    circuit: Circuit, origins: Sequence[Origin], hot: Mapping[Node, Reached], conducts: Callable[[Edge], bool]
) -> Mapping[int, tuple[int, ...]]:
    """By the number of each source of direct current the others that closed paths join its rail to."""
    meet = [
        (hot[edge.a].origin, hot[edge.b].origin)
        for edge in circuit.edges
        if edge.a in hot and edge.b in hot and _passes(circuit, edge) and conducts(edge)
    ]
    meet += [(n, hot[origin.plus].origin) for n, origin in enumerate(origins) if origin.plus in hot]
    direct = [n for n, origin in enumerate(origins) if origin.kind == "DC"]
    first = joined(direct, ((a, b) for a, b in meet if a != b and a in direct and b in direct))
    return {n: others for n in direct if (others := tuple(m for m in direct if m != n and first[m] == first[n]))}
