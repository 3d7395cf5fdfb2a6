"""The circuit as the screen sees it: numbered nodes, paths that conduct or not, sources, coils, and what is watched."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from wiring.circuit.model import Conductor, Inner, Node
from wiring.control.faults import EARTH, earth_node
from wiring.control.script import Target, is_program
from wiring.parts.elements import Coil, Draw, Input, Link, Logic, Output, Pole, Rectifying, Resistance, Switch
from wiring.solver.assembly import Actuator
from wiring.solver.islands import Joints
from wiring.solver.lowering import Lowered


@dataclass(frozen=True, slots=True)
class Path:
    """A conductor, contact, pole or link. `moved_by` is None for a path that always conducts; `limits` marks one that
    bounds or ends a short circuit: a fuse, a breaker, a series resistance."""

    id: str
    a: int
    b: int
    moved_by: Actuator | None = None
    closed_at_rest: bool = True
    limits: bool = False


@dataclass(frozen=True, slots=True)
class Pair:
    """Two nodes across which a voltage counts: a coil, an input, a probe. `least_v` is what it needs to be fed."""

    a: int
    b: int
    kind: str
    least_v: float
    polar: bool = False


@dataclass(frozen=True, slots=True)
class Source:
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


@dataclass(frozen=True, slots=True)
class Watch:
    """A coil: the actuator that it moves and the pair that feeds it."""

    actuator: Actuator
    pair: Pair
    rises_late: bool
    falls_late: bool


@dataclass(frozen=True, slots=True)
class Unit:
    """A logic unit, its names resolved to actuators."""

    outputs: Actuator
    needs: tuple[Actuator, ...]
    channels: tuple[Actuator, ...]
    reset: Actuator
    mode: str
    falls_late: bool
    paired: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """A target with the pairs that show whether it is alive, each with the actuators that must be attracted too."""

    name: str
    pairs: tuple[tuple[Pair, tuple[Actuator, ...]], ...]


@dataclass(frozen=True)
class Net:
    """Everything that the screen needs, in numbers; `soft` are the nodes that a load, coil or lamp ties together."""

    count: int
    paths: tuple[Path, ...]
    diodes: tuple[tuple[int, int], ...]
    soft: tuple[tuple[int, int], ...]
    sources: tuple[Source, ...]
    coils: tuple[Watch, ...]
    units: tuple[Unit, ...]
    targets: tuple[Seen, ...]
    index: Mapping[Node, int]
    hung: Mapping[int, tuple[int, bool]]

    def bridge(self, a: Node, b: Node) -> tuple[int, int, bool] | None:
        """Where a bridge between two nodes acts, and whether for certain; None where it joins what is one already.

        A dead end acts where it hangs: for certain when only conductors lead there.
        """
        if a not in self.index or b not in self.index:
            return None
        first, first_sure = self._root(self.index[a])
        second, second_sure = self._root(self.index[b])
        if first == second:
            return None
        return min(first, second), max(first, second), first_sure and second_sure

    def _root(self, node: int) -> tuple[int, bool]:
        sure = True
        while node in self.hung:
            node, certain = self.hung[node]
            sure = sure and certain
        return node, sure


def _path(edge_id: str, a: int, b: int, source: object) -> Path:
    if isinstance(source, Inner):
        element = source.element
        if isinstance(element, Switch):
            return Path(edge_id, a, b, (source.part, element.actuator), element.closed_at_rest)
        return Path(edge_id, a, b, limits=isinstance(element, Pole | Link))
    return Path(edge_id, a, b)


class _Builder:
    def __init__(self, lowered: Lowered, index: Mapping[Node, int]) -> None:
        self.lowered, self.index = lowered, index
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
                    self.coils.append(
                        Watch((name, element.moves), pair, element.on_delay_s > 0.0, element.off_delay_s > 0.0)
                    )
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


def build_net(lowered: Lowered, targets: tuple[Target, ...], *, whole: bool = False) -> Net:
    """The net of a lowered circuit; all conductors and contacts keep their ids.

    With `whole`, conductors never break, so that what they join is one node: a far smaller net for every other fault.
    """
    joints = Joints(lowered.count)
    if whole:
        for edge in lowered.edges:
            if isinstance(edge.source, Conductor):
                joints.join(edge.a, edge.b)
    root = [joints.find(node) for node in range(lowered.count)]
    index = {node: root[n] for node, n in lowered.index.items()}
    builder = _Builder(lowered, index)
    for source in lowered.mains_sources:
        plus, minus = root[source.plus], root[source.minus]
        builder.sources.append(Source("", plus, minus, abs(source.volts), "AC", None, True, star=minus))
    for part in lowered.circuit.parts.values():
        builder.part(part.name, part.elements)
    edges = [edge for edge in lowered.edges if root[edge.a] != root[edge.b]]
    paths = [_path(edge.id, root[edge.a], root[edge.b], edge.source) for edge in edges]
    paths += [Path(f".mains{n}", root[way.a], root[way.b]) for n, way in enumerate(lowered.mains_branches)]
    earth = earth_node(lowered.circuit)
    if earth is not None:
        index[EARTH] = index[earth]
    soft = tuple(dict.fromkeys(ends for ends in builder.soft if ends[0] != ends[1]))
    seen = tuple(_seen(index, target) for target in targets)
    held = {end for ends in (*soft, *builder.diodes) for end in ends}
    held |= {end for source in builder.sources for end in (source.plus, source.minus)}
    held |= {end for target in seen for pair, _ in target.pairs for end in (pair.a, pair.b)}
    held |= {end for watch in builder.coils for end in (watch.pair.a, watch.pair.b)}
    paths, hung = _peeled([path for path in paths if path.a != path.b], held)
    return Net(
        lowered.count,
        tuple(paths),
        tuple(builder.diodes),
        soft,
        tuple(builder.sources),
        tuple(builder.coils),
        tuple(builder.units),
        seen,
        index,
        hung,
    )


def _peeled(paths: list[Path], held: set[int]) -> tuple[list[Path], dict[int, tuple[int, bool]]]:
    """The paths without the dead ends, and for every node of a dead end the next one inwards."""
    at: dict[int, dict[int, Path]] = {}
    for n, path in enumerate(paths):
        at.setdefault(path.a, {})[n] = path
        at.setdefault(path.b, {})[n] = path
    hung: dict[int, tuple[int, bool]] = {}
    gone: set[int] = set()
    stack = sorted(node for node, near in at.items() if len(near) == 1 and node not in held)
    while stack:
        node = stack.pop()
        if len(at[node]) != 1:
            continue
        (n, path) = next(iter(at[node].items()))
        far = path.b if path.a == node else path.a
        hung[node] = (far, path.moved_by is None)
        gone.add(n)
        at[node].clear()
        del at[far][n]
        if len(at[far]) == 1 and far not in held:
            stack.append(far)
    return [path for n, path in enumerate(paths) if n not in gone], hung


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
