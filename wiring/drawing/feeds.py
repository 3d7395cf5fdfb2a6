"""What feeds what: every device and load of the power with the devices right before it, pole by pole.

A device with several poles is one unit where its poles are fed alike, and one for each feed where they are not: a
contactor that switches two supplies behind two breakers stands once behind each.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Circuit, Conductor, Inner, Node
from wiring.circuit.roles import Role, is_earth_point
from wiring.design.design import Design
from wiring.design.fault.paths import LIMITING_OHM
from wiring.disjoint_sets import DisjointSets
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Feed, Function, Link, Output, Pole, Switch
from wiring.parts.traits import SymbolForm
from wiring.wording import natural

_TAKES = (
    Function.SUPPLY, Function.LOAD, Function.MOTOR, Function.LINE, Function.NEUTRAL, Function.DC_PLUS,
    Function.DC_MINUS,
)  # fmt: skip
_RETURNS = (Role.NEUTRAL, Role.ZERO, Role.PE, Role.SHIELD)


class Way(Struct, frozen=True, order=True):
    """Power through one path of a part from net to net, or, with an empty `path`, the part itself as load or source."""

    part: str
    path: str = ""
    before: int = -1
    behind: int = -1


class FedUnit(Struct, frozen=True):
    """A part as far as one feed reaches it: `paths` are its poles of this feed, `parents` the units right before it.

    `onward` are the devices that its poles lead on to, whether the overview shows them or not.
    """

    number: int
    part: str
    paths: tuple[str, ...]
    parents: tuple[int, ...]
    onward: tuple[str, ...] = ()


def _joins(circuit: Circuit, edge: Conductor | Inner) -> bool:
    """Whether an edge makes one net of its ends."""
    if is_earth_point(circuit, edge.a) or is_earth_point(circuit, edge.b):
        return False
    if isinstance(edge, Conductor):
        return edge.kind != "shield"
    if not isinstance(edge.element, Link) or edge.element.ohm >= LIMITING_OHM:
        return False
    return edge.element.ohm == 0.0 or not circuit.parts[edge.part].data.in_power


def _is_path(edge: Inner) -> bool:
    return not isinstance(edge.element, Link) or edge.element.ohm < LIMITING_OHM


class _Network:
    """Nets of the circuit, and the paths of devices between them."""

    def __init__(self, design: Design) -> None:
        self.circuit, self.roles = design.circuit, design.roles
        self.index = {node: n for n, node in enumerate(self.circuit.nodes)}
        self.nets = DisjointSets(len(self.index))
        for edge in self.circuit.edges:
            if _joins(self.circuit, edge):
                self.nets.join(self.index[edge.a], self.index[edge.b])
        self.paths = [
            (edge, self.net(edge.a), self.net(edge.b))
            for edge in self.circuit.inner
            if _is_path(edge) and self.net(edge.a) != self.net(edge.b)
        ]

    def net(self, node: Node) -> int:
        return self.nets.find(self.index[node])

    @cached_property
    def returns(self) -> frozenset[int]:
        """The nets by which current goes back: no power is followed into them."""
        found = {self.net(node) for node in self.circuit.nodes if self.roles.role[node] in _RETURNS}
        return frozenset(found.union(self.net((p.name, o.minus)) for p, o in self.circuit.elements(Output)))

    @cached_property
    def starts(self) -> Mapping[str, frozenset[int]]:
        """The nets that a source feeds, by its part: an inlet, whatever makes a voltage, a drive."""
        found: dict[str, set[int]] = {}
        for part in self.circuit.parts.values():
            for node in _exits(part):
                net = self.net(node)
                if net not in self.returns:
                    found.setdefault(part.name, set()).add(net)
        return {name: frozenset(nets) for name, nets in found.items()}

    @cached_property
    def devices(self) -> Mapping[int, frozenset[str]]:
        """The parts at each net, but for the terminals that wires are led through."""
        found: dict[int, set[str]] = {}
        for node in self.circuit.nodes:
            part = self.circuit.parts.get(node[0])
            if part is not None and part.data.symbol.form is not SymbolForm.STRIP:
                found.setdefault(self.net(node), set()).add(part.name)
        return {net: frozenset(names) for net, names in found.items()}

    def onward(self, ways: Iterable[Way]) -> tuple[str, ...]:
        """The devices behind the paths of a part, in the order of their names."""
        behind = (self.devices.get(way.behind, frozenset()) - {way.part} for way in ways if way.path)
        return tuple(sorted(frozenset().union(*behind), key=natural))

    @cached_property
    def at(self) -> Mapping[int, tuple[int, ...]]:
        """The nets behind the paths at each net."""
        found: dict[int, list[int]] = {}
        for _, a, b in self.paths:
            found.setdefault(a, []).append(b)
            found.setdefault(b, []).append(a)
        return {net: tuple(others) for net, others in found.items()}

    def distances(self, starts: Iterable[int]) -> dict[int, int]:
        """How many paths lie between the starts and each net."""
        found = dict.fromkeys(starts, 0)
        queue = deque(found)
        while queue:
            net = queue.popleft()
            for other in self.at.get(net, ()):
                if other not in found and other not in self.returns:
                    found[other] = found[net] + 1
                    queue.append(other)
        return found

    def ways(self) -> Iterator[Way]:
        """Every path in every direction in which power from some source can pass it."""
        for starts in self.starts.values():
            far = self.distances(starts)
            for edge, a, b in self.paths:
                if a in far and b in far:
                    name = f"{edge.element.a}-{edge.element.b}"
                    if far[a] <= far[b]:
                        yield Way(edge.part, name, a, b)
                    if far[b] <= far[a]:
                        yield Way(edge.part, name, b, a)

    def entries(self, part: Part) -> frozenset[int]:
        """The nets from which a part takes power as a load."""
        inner = {node for edge, _, _ in self.paths if edge.part == part.name for node in (edge.a, edge.b)}
        own = {*inner, *_exits(part), *((part.name, o.minus) for o in part.of(Output))}
        wanted = (Function.MOTOR,) if part.data.is_motor else _TAKES
        nodes = [(part.name, t.name) for t in part.terminals.values() if t.function in wanted]
        return frozenset(self.net(node) for node in nodes if node not in own)


def _exits(part: Part) -> list[Node]:
    """The points at which power begins in a part."""
    feeds = [feed.terminal for feed in part.of(Feed) if feed.conductor not in ("N", "PE")]
    outputs = [output.plus for output in part.of(Output) if output.name == "output"]
    drive = isinstance(part.data, Drive)
    driven = [t.name for t in part.terminals.values() if drive and t.function in (Function.MOTOR, Function.LOAD)]
    return [(part.name, name) for name in (*feeds, *outputs, *driven)]


class _Feeding:
    """The ways and the ways right before them."""

    def __init__(self, design: Design) -> None:
        self.network = _Network(design)
        self.parts = design.circuit.parts
        self.into: dict[int, list[Way]] = {}
        ways = sorted(set(self.network.ways()))
        self.bodies = {name: Way(name) for name, part in self.parts.items() if self._is_body(part)}
        for name, nets in self.network.starts.items():
            for net in nets:
                self.into.setdefault(net, []).append(self.bodies[name])
        for way in ways:
            self.into.setdefault(way.behind, []).append(way)
        self.before = {way: self._before(way, frozenset()) for way in (*self.bodies.values(), *ways)}

    def _is_body(self, part: Part) -> bool:
        is_load = part.data.in_power and bool(self.network.entries(part))
        return part.name in self.network.starts or is_load

    def _nets_before(self, way: Way) -> frozenset[int]:
        return frozenset((way.before,)) if way.path else self.network.entries(self.parts[way.part])

    def _before(self, way: Way, seen: frozenset[Way]) -> frozenset[Way]:
        """The ways of other parts that feed one; poles of one part in series count as one."""
        found: set[Way] = set()
        for net in self._nets_before(way):
            for other in self.into.get(net, ()):
                if other.part != way.part:
                    found.add(other)
                elif other.path != way.path and other not in seen:
                    found |= self._before(other, seen | {way})
        return frozenset(found)

    def classes(self) -> dict[Way, int]:
        """Ways of one part that are fed alike have one number."""
        number = {way: n for n, name in enumerate(sorted({w.part for w in self.before})) for way in self._of(name)}
        while True:
            keys = {way: (number[way], frozenset(number[w] for w in before)) for way, before in self.before.items()}
            order = {key: n for n, key in enumerate(dict.fromkeys(keys.values()))}
            if len(order) == len(set(number.values())):
                return number
            number = {way: order[key] for way, key in keys.items()}

    def _of(self, name: str) -> list[Way]:
        return [way for way in self.before if way.part == name]

    def wanted(self) -> set[Way]:
        """What the power overview shows: parts of the power, and everything on their feed."""
        queue = deque(way for way in self.before if self._is_power(way))
        found = set(queue)
        while queue:
            for way in self.before[queue.popleft()]:
                if way not in found:
                    found.add(way)
                    queue.append(way)
        return found

    def _is_power(self, way: Way) -> bool:
        part = self.parts[way.part]
        if not part.data.in_power or not way.path:
            return part.data.in_power
        return any(f"{e.a}-{e.b}" == way.path and _is_pole(part, e) for e in part.of(Pole, Switch)) or any(
            f"{e.a}-{e.b}" == way.path for e in part.of(Link)
        )


def _is_pole(part: Part, path: Pole | Switch) -> bool:
    functions = [part.terminals[end].function for end in (path.a, path.b) if end in part.terminals]
    return Function.POLE in functions or isinstance(path, Pole)


def fed_units(design: Design) -> tuple[FedUnit, ...]:
    """Every part of the power and every device on its feed, each unit with the units right before it.

    A part of the power that nothing feeds is a unit without parents.
    """
    feeding = _Feeding(design)
    number = feeding.classes()
    wanted = feeding.wanted()
    members: dict[int, list[Way]] = {}
    for way in sorted(wanted):
        members.setdefault(number[way], []).append(way)
    merged = {own: _merged(ways, feeding.before, number) for own, ways in members.items()}
    units = [
        FedUnit(own, ways[0].part, _paths(ways), merged[own], feeding.network.onward(ways))
        for own, ways in members.items()
    ]
    shown = {unit.part for unit in units}
    rest = [name for name, part in feeding.parts.items() if part.data.in_power and name not in shown]
    free = max(number.values(), default=-1) + 1
    return (*units, *(FedUnit(free + n, name, (), ()) for n, name in enumerate(rest)))


def _paths(ways: Sequence[Way]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(way.path for way in ways if way.path))


def _merged(ways: list[Way], before: Mapping[Way, frozenset[Way]], number: Mapping[Way, int]) -> tuple[int, ...]:
    return tuple(sorted({number[other] for way in ways for other in before[way]}))
