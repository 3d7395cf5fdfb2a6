"""What each load loses on the way: the voltage at its source less the voltage that reaches it, both ways, solved.

The source of a mains load is the machine's inlet, or the panel board of the building where the plan gives the size and
the length of the feed between the two.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Node
from wiring.circuit.roles import Rail, Role
from wiring.design.device.building_feed import current_into, feed_ohm
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.elements import Coil, Draw, Feed, Input, Output, Resistance
from wiring.plan.site import Mains
from wiring.solver.lowering import line_to_neutral_v
from wiring.solver.operating import OperatingPoint

#: A load that takes less counts as switched off, and a conductor that carries less as idle [A].
_IDLE_A = 1e-7
#: On a longer way conductors are counted, not named, and no sizes are worked out for them (own choice: far more than
#: any machine has in one chain; what all loads of a chain ask of its conductors grows with the square of its length).
MOST_ON_A_WAY = 200
_PAIRS = {Role.PLUS: Role.ZERO, Role.ZERO: Role.PLUS}


class LoadDrop(Struct, frozen=True):
    """One load in the state in which it loses most. `nominal_v` is that of its source, `drop_v` what is lost of it.

    `start` is where the load's source begins and ends, `ends` the load's own two terminals in the same order.
    """

    part: str
    state: str
    kind: str
    nominal_v: float
    drop_v: float
    current_a: float
    start: tuple[Node, Node]
    ends: tuple[Node, Node]

    @property
    def percent(self) -> float:
        """Share of the nominal voltage that is lost [%]."""
        return 100.0 * self.drop_v / self.nominal_v


class _Begin(Struct, frozen=True):
    """Where a pair of rails begins: first and second node, kind of voltage, nominal voltage (0: as it stands there)."""

    first: Node
    second: Node
    kind: str
    volts: float


def _mains_volts(mains: Mains | None, to_neutral: bool) -> float:
    """Nominal voltage between two lines, or a line and the neutral [V]; 0 where the plan gives no mains."""
    if mains is None:
        return 0.0
    return line_to_neutral_v(mains) if to_neutral else mains.voltage.volts


class _Sources:
    """Which source feeds a pair of nodes, found from the rails that reach them."""

    def __init__(self, machine: Machine) -> None:
        self.rails = machine.roles.rails
        self.mains = machine.plan.mains
        self.feeds: dict[str, Node] = {}
        self.outputs: dict[str, _Begin] = {}
        for part, feed in machine.circuit.elements(Feed):
            if feed.conductor != "PE":
                self.feeds.setdefault(feed.conductor, (part.name, feed.terminal))
        for part, element in machine.circuit.elements(Output):
            if element.name == "output":
                volts = 0.0 if element.ratio is not None else element.volts
                begin = _Begin((part.name, element.plus), (part.name, element.minus), element.kind, volts)
                self.outputs.setdefault(part.name, begin)

    def of(self, a: Node, b: Node) -> _Begin | None:
        """The source behind both nodes, its first node on the side of `a`; None where there is none or no telling."""
        found = [begin for first in self.rails[a] for second in self.rails[b] if (begin := self._pair(first, second))]
        return found[0] if len(found) == 1 else None

    def _pair(self, first: Rail, second: Rail) -> _Begin | None:
        if first.role in (Role.LIVE, Role.NEUTRAL) and second.role in (Role.LIVE, Role.NEUTRAL):
            if first == second or first.source not in self.feeds or second.source not in self.feeds:
                return None
            volts = _mains_volts(self.mains, Role.NEUTRAL in (first.role, second.role))
            return _Begin(self.feeds[first.source], self.feeds[second.source], "AC", volts)
        begin = self.outputs.get(first.source)
        if begin is None or first.source != second.source:
            return None
        if first.role is Role.AC and second.role is Role.AC:
            return begin
        if _PAIRS.get(first.role) is not second.role:
            return None
        plus_first = first.role is Role.PLUS
        return begin if plus_first else _Begin(begin.second, begin.first, begin.kind, begin.volts)


def _loads(machine: Machine) -> Iterator[tuple[tuple[str, int], Node, Node, _Begin]]:
    sources = _Sources(machine)
    for part in machine.parts.values():
        for n, element in enumerate(part.elements):
            if not isinstance(element, Draw | Input | Coil | Resistance):
                continue
            if isinstance(element, Resistance) and not element.load:
                continue
            a, b = (part.name, element.a), (part.name, element.b)
            begin = sources.of(a, b)
            if begin is not None and begin.first[0] != part.name and element.kind in ("", begin.kind):
                yield (part.name, n), a, b, begin


def load_drops(machine: Machine, operation: Operation) -> Mapping[str, LoadDrop]:
    """The largest drop of every part that takes power from a rail, by part; states whose sources give way left out."""
    return _worst_drops(machine, operation, list(_loads(machine)), 0.0)


def drops_from_board(machine: Machine, operation: Operation) -> Mapping[str, LoadDrop]:
    """The same of every part on the mains from the panel board of the building; empty where the feed is not known."""
    ohm = feed_ohm(machine)
    if ohm is None:
        return {}
    inlets = {part.name for part, _ in machine.circuit.elements(Feed)}
    loads = [load for load in _loads(machine) if load[3].first[0] in inlets]
    return _worst_drops(machine, operation, loads, ohm)


def _along_feed(machine: Machine, point: OperatingPoint, begin: _Begin, ohm: complex) -> float:
    """What is lost between the board and the inlet, both ways [V]."""
    first, second = (point.volts(node, "AC") or 0.0 for node in (begin.first, begin.second))
    at_inlet = first - second
    lost = ohm * (current_into(machine, point, begin.first) - current_into(machine, point, begin.second))
    return abs(at_inlet + lost) - abs(at_inlet)


def _worst_drops(
    machine: Machine,
    operation: Operation,
    loads: list[tuple[tuple[str, int], Node, Node, _Begin]],
    in_front_ohm: complex,
) -> Mapping[str, LoadDrop]:
    worst: dict[str, LoadDrop] = {}
    for state, point in operation.loaded.items():
        currents = {kind: point.element_current(kind) for kind in ("DC", "AC")}
        carried = {kind: not point.layer(kind).solution.collapsed for kind in ("DC", "AC")}
        begins = {load[3] for load in loads} if in_front_ohm else ()
        in_front_v = {begin: _along_feed(machine, point, begin, in_front_ohm) for begin in begins}
        for key, a, b, begin in loads:
            amps = abs(currents[begin.kind].get(key, 0.0))
            if amps <= _IDLE_A or not carried[begin.kind]:
                continue
            source_v = abs(point.between(begin.first, begin.second, begin.kind))
            drop_v = source_v - abs(point.between(a, b, begin.kind)) + in_front_v.get(begin, 0.0)
            nominal_v = begin.volts or source_v
            known = worst.get(key[0])
            if nominal_v > 0 and (known is None or drop_v / nominal_v > known.drop_v / known.nominal_v):
                start = (begin.first, begin.second)
                worst[key[0]] = LoadDrop(key[0], state, begin.kind, nominal_v, drop_v, amps, start, (a, b))
    return worst


class Way(Struct, frozen=True):
    """A way that carries current: its `count` conductors, what is lost in the `worst` of them [V] with its id, and
    whether the plan lacks the length or the size of one."""

    count: int = 0
    worst: tuple[float, str] = (-1.0, "")
    incomplete: bool = False

    def along(self, other: Way) -> Way:
        """This way and another one behind each other."""
        incomplete = self.incomplete or other.incomplete
        return Way(self.count + other.count, max(self.worst, other.worst), incomplete)


def is_incomplete(conductor: Conductor) -> bool:
    """Whether the plan lacks the length or the size of a conductor."""
    return conductor.length_m is None or conductor.size is None


class _FromSource:
    """All ways from one end of a source that carry current."""

    def __init__(self, machine: Machine, point: OperatingPoint, kind: str, start: Node) -> None:
        self.point, self.kind = point, kind
        current = point.path_current(kind)

        def leads(edge: Edge, _: Node) -> bool:
            return edge.id not in current or abs(current[edge.id]) > _IDLE_A

        self.came = machine.circuit.walk([start], leads)
        self.ways: dict[Node, Way] = {}
        for node, step in self.came.items():
            before = self.ways[step[0]] if step is not None else Way()
            edge = step[1] if step is not None else None
            self.ways[node] = before.along(self._over(edge)) if isinstance(edge, Conductor) else before

    def _over(self, conductor: Conductor) -> Way:
        return Way(1, (self.lost_v(conductor), conductor.id), is_incomplete(conductor))

    def lost_v(self, conductor: Conductor) -> float:
        """What a conductor loses [V]."""
        return abs(self.point.between(conductor.a, conductor.b, self.kind))

    def back_from(self, node: Node) -> list[Conductor]:
        """The conductors from a node to the source; none where no way leads there."""
        found = []
        while (step := self.came.get(node)) is not None:
            node, edge = step
            if isinstance(edge, Conductor):
                found.append(edge)
        return found


def _from_sources(machine: Machine, operation: Operation, load: LoadDrop) -> tuple[_FromSource, _FromSource]:
    """The ways from both ends of a load's source, each walked once for all its loads."""
    point = operation.loaded[load.state]

    def ways(start: Node) -> _FromSource:
        key = "ways from a source", load.kind, start
        if key not in point.memory:
            point.memory[key] = _FromSource(machine, point, load.kind, start)
        found: _FromSource = point.memory[key]
        return found

    return ways(load.start[0]), ways(load.start[1])


def way_of(machine: Machine, operation: Operation, load: LoadDrop) -> Way:
    """The way to a load and back."""
    there, back = _from_sources(machine, operation, load)
    none = Way()
    return there.ways.get(load.ends[0], none).along(back.ways.get(load.ends[1], none))


def drop_shares(machine: Machine, operation: Operation, load: LoadDrop) -> Mapping[str, float]:
    """The conductors on the way to a load and back with what each of them loses [V], in the order of the way."""
    there, back = _from_sources(machine, operation, load)
    path = [*reversed(there.back_from(load.ends[0])), *back.back_from(load.ends[1])]
    return {conductor.id: there.lost_v(conductor) for conductor in path}
