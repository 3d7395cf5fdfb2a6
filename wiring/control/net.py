"""The circuit as the screen sees it: numbered nodes, paths that conduct or not, sources, coils, and what is watched."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from math import inf

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.control.fault_record import EARTH, Fault
from wiring.control.script import Target, is_program
from wiring.control.zones import Path, Zones, zones
from wiring.disjoint_sets import DisjointSets
from wiring.parts.elements import Coil, Draw, Input, Logic, Output, Rectifying, Resistance
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import Lowered


class Pair(Struct, frozen=True):
    """Two nodes across which a voltage counts: a coil, an input, a probe. `least_v` is what it needs to be fed."""

    a: int
    b: int
    kind: str
    least_v: float
    polar: bool = False


class Source(Struct, frozen=True):
    """A source between two nodes. `feed` is the pair that keeps it alive, None for the mains and for a battery.

    `certain` is False for an output that a program drives. Phases of one `star` stand against each other. `volts` is
    infinite where the voltage follows the input: what hangs on such a rail is taken to suit it.
    """

    part: str
    plus: int
    minus: int
    volts: float
    kind: str
    feed: Pair | None
    certain: bool = True
    star: int = -1

    @property
    def is_mains(self) -> bool:
        """Whether it dies with the mains."""
        return self.star >= 0


class Watch(Struct, frozen=True):
    """A coil: the actuator that it moves, the pair that feeds it, and those that a lock keeps it apart from."""

    actuator: Actuator
    pair: Pair
    rises_late: bool
    falls_late: bool
    locks: tuple[Actuator, ...] = ()


class Unit(Struct, frozen=True):
    """A logic unit, its names resolved to actuators."""

    outputs: Actuator
    needs: tuple[Actuator, ...]
    channels: tuple[Actuator, ...]
    reset: Actuator
    mode: str
    falls_late: bool
    paired: bool


class Seen(Struct, frozen=True):
    """A target with the pairs that show whether it is alive, each with the actuators that must be attracted too."""

    name: str
    pairs: tuple[tuple[Pair, tuple[Actuator, ...]], ...]


class Net(Struct, frozen=True, dict=True):
    """Everything that the screen needs, in numbers; `soft` are the nodes that a load, coil or lamp ties together."""

    count: int
    paths: tuple[Path, ...]
    diodes: tuple[tuple[int, int], ...]
    soft: tuple[tuple[int, int], ...]
    sources: tuple[Source, ...]
    coils: tuple[Watch, ...]
    units: tuple[Unit, ...]
    targets: tuple[Seen, ...]
    place: Mapping[Node, tuple[int, bool]]
    names: Mapping[str, str]

    def bridge(self, a: Node, b: Node) -> tuple[int, int, bool] | None:
        """Where a bridge between two nodes acts, and whether for certain; None where it joins what is one already."""
        if a not in self.place or b not in self.place:
            return None
        (first, first_sure), (second, second_sure) = self.place[a], self.place[b]
        if first == second:
            return None
        return min(first, second), max(first, second), first_sure and second_sure

    def is_mixed(self, first: int, second: int) -> bool:
        """Whether a bridge leads AC to DC: the one source is a short to the other, and numbers tell what is left."""
        kinds = self._kinds[first], self._kinds[second]
        return all(kinds) and kinds[0].isdisjoint(kinds[1])

    @cached_property
    def _kinds(self) -> tuple[frozenset[str], ...]:
        """By zone the kinds of source, AC and DC, of which metal may lead a pole there, contacts taken as closed."""
        joined = DisjointSets(self.count)
        for path in self.paths:
            joined.join(path.a, path.b)
        led = [(joined.find(end), source.kind) for source in self.sources for end in (source.plus, source.minus)]
        return tuple(frozenset(kind for root, kind in led if root == joined.find(n)) for n in range(self.count))

    @cached_property
    def orders(self) -> tuple[Actuator | None, ...]:
        """All coils at once, then each coil and unit with contacts in the net as the faster one."""
        movers = {path.moved_by for path in self.paths}
        names = [*(coil.actuator for coil in self.coils), *(unit.outputs for unit in self.units)]
        return None, *(name for name in dict.fromkeys(names) if name in movers)

    @cached_property
    def fed_zones(self) -> frozenset[int]:
        """The zones that anything ties to a source, contacts taken as closed: elsewhere nothing can ever flow."""
        joined = DisjointSets(self.count)
        for path in self.paths:
            joined.join(path.a, path.b)
        for a, b in (*self.soft, *self.diodes, *((source.plus, source.minus) for source in self.sources)):
            joined.join(a, b)
        alive = {joined.find(source.plus) for source in self.sources}
        return frozenset(n for n in range(self.count) if joined.find(n) in alive)

    @cached_property
    def earthed(self) -> tuple[frozenset[int], frozenset[str]]:
        """The zones that nothing parts from earth but a conductor that breaks, and the paths between them."""
        if EARTH not in self.place:
            return frozenset(), frozenset()
        tied = [path for path in self.paths if path.moved_by is None and not path.limits]
        joined = DisjointSets(self.count)
        for path in tied:
            joined.join(path.a, path.b)
        earth = joined.find(self.place[EARTH][0])
        paths = frozenset(path.id for path in tied if joined.find(path.a) == earth)
        return frozenset(n for n in range(self.count) if joined.find(n) == earth), paths

    def paths_of(self, ids: Iterable[str]) -> tuple[str, ...]:
        """The paths that some ids stand in, each once; an id that leads nowhere stands in none."""
        return tuple(dict.fromkeys(self.names[path] for path in ids if path in self.names))


class _Builder:
    def __init__(self, lowered: Lowered, found: Zones) -> None:
        self.lowered = lowered
        self.index = {node: zone for node, (zone, _) in found.place.items()}
        self.soft: list[tuple[int, int]] = []
        self.diodes: list[tuple[int, int]] = []
        self.sources: list[Source] = []
        self.coils: list[Watch] = []
        self.units: list[Unit] = []

    def at(self, part: str, terminal: str) -> int:
        return self.index[part, terminal]

    def pair(self, part: str, a: str, b: str, kind: str, least_v: float, polar: bool = False) -> Pair:
        return Pair(self.at(part, a), self.at(part, b), kind, least_v, polar)

    def part(self, name: str, elements: tuple[object, ...]) -> None:
        feeds = {e.name: self._feed(name, e) for e in elements if isinstance(e, Input)}
        for element in elements:
            match element:
                case Coil():
                    pair = self.pair(name, element.a, element.b, element.kind or "DC", element.pick_up_v)
                    moves = (name, element.moves)
                    locks = tuple(sorted(self.lowered.circuit.mechanical_locks.get(moves, ())))
                    late = element.on_delay_s > 0.0, element.off_delay_s > 0.0
                    self.coils.append(Watch(moves, pair, *late, locks))
                    self.soft.append((pair.a, pair.b))
                case Resistance() | Draw() | Input():
                    self.soft.append((self.at(name, element.a), self.at(name, element.b)))
                case Rectifying():
                    self.diodes.append((self.at(name, element.a), self.at(name, element.b)))
                case Output():
                    self._output(name, element, feeds)
                case Logic():
                    self._unit(name, element)

    def _feed(self, name: str, element: Input) -> Pair | None:
        wired = any(self.lowered.circuit.conductors_at((name, end)) for end in (element.a, element.b))
        return self.pair(name, element.a, element.b, element.kind, element.low_v, True) if wired else None

    def _output(self, name: str, output: Output, feeds: Mapping[str, Pair | None]) -> None:
        feed = feeds.get(output.input or "")
        plus, minus = self.at(name, output.plus), self.at(name, output.minus)
        certain = not is_program(output.name)
        volts = output.volts or inf  # a rectifier has none of its own
        self.sources.append(Source(name, plus, minus, volts, output.kind, feed, certain))

    def _unit(self, name: str, logic: Logic) -> None:
        self.units.append(
            Unit(
                (name, logic.outputs),
                tuple((name, need) for need in (logic.supply, *logic.channels)),
                tuple((name, channel) for channel in logic.channels),
                (name, logic.reset),
                logic.reset_mode,
                logic.off_delay_s > 0.0,
                logic.paired,
            )
        )


def build_net(lowered: Lowered, targets: tuple[Target, ...], faults: Iterable[Fault] = ()) -> Net:
    """The net of a lowered circuit in which some faults are tried; every conductor and contact keeps its id."""
    found = zones(lowered, targets, faults)
    builder = _Builder(lowered, found)
    for source, (plus, minus) in zip(lowered.mains_sources, found.mains, strict=True):
        builder.sources.append(Source("", plus, minus, abs(source.volts), "AC", None, True, star=minus))
    for part in lowered.circuit.parts.values():
        builder.part(part.name, part.elements)
    return Net(
        found.count,
        found.paths,
        tuple(builder.diodes),
        tuple(dict.fromkeys(ends for ends in builder.soft if ends[0] != ends[1])),
        tuple(builder.sources),
        tuple(builder.coils),
        tuple(builder.units),
        tuple(_seen(builder.index, target) for target in targets),
        found.place,
        found.names,
    )


def _seen(index: Mapping[Node, int], target: Target) -> Seen:
    pairs = tuple(
        (
            Pair(index[probe.part, probe.a], index[probe.part, probe.b], kind, probe.dead_v),
            probe.needs,
        )
        for probe in target.probes
        for kind in ((probe.kind,) if probe.kind else ("DC", "AC"))
    )
    return Seen(target.name, pairs)
