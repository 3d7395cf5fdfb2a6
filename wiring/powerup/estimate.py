"""What a fault does in a setting, moment by moment of the way into it, without simulating it: as long as every coil,
supply and fuse acts as in the sound machine, the fault is a few changed branches of a solved network."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.circuit.model import Inner
from wiring.parts.typical import fuse_ohm
from wiring.powerup.causes import BRIDGE_OHM, Cause
from wiring.powerup.linearised_items import FaultResponse, SwitchingThreshold
from wiring.powerup.linearised_point import LinearisedPoint
from wiring.powerup.low_rank_update import BranchChange
from wiring.powerup.machine import Run, on_value
from wiring.powerup.step import Line, Meter
from wiring.solver.lowering import ConductingElement, Lowered, is_closed
from wiring.solver.network import Scalar
from wiring.solver.operating import OperatingPoint

_STILL_A = 1e-9


class Shifted(Struct, frozen=True):
    """A moment with a fault in it: both layers, and the paths that the fault changed, None where they are open."""

    dc: FaultResponse
    ac: FaultResponse
    paths: Mapping[str, ConductingElement | None]

    @property
    def is_same(self) -> bool:
        """Whether the fault changes no voltage and no current."""
        return self.dc.same and self.ac.same and not self.paths


class Moment:
    """One round of the sound machine on its way, at both frequencies."""

    def __init__(self, point: OperatingPoint, trips: Mapping[str, float], upstream_a: float) -> None:
        position = point.position
        self.index = point.lowered.index
        self.paths = {
            edge.id: edge
            for edge in point.lowered.edges
            if is_closed(edge, position.moved, position.opened, position.closed)
        }
        self.dc = LinearisedPoint(point, "DC", self.paths, trips, upstream_a)
        self.ac = LinearisedPoint(point, "AC", self.paths, trips, upstream_a)
        self.working = {
            name
            for layer in (point.dc, point.ac)
            for (name, _), amps in layer.element_a.items()
            if abs(amps) > _STILL_A
        } | {name for name, _ in point.live}
        self._known: dict[str, Shifted | None] = {}

    def shifted(self, work: Work) -> Shifted | None:
        """The moment with a fault; None where something switches otherwise."""
        if work.id not in self._known:
            self._known[work.id] = self._shifted(work)
        return self._known[work.id]

    def _shifted(self, work: Work) -> Shifted | None:
        if self.working & work.parts:
            return None
        changes, paths = work.changes(self.paths, self.index)
        limits = [
            SwitchingThreshold(path.a, path.b, amps * path.ohm)
            for name, amps in work.limits.items()
            if (path := paths.get(name))
        ]
        dc = self.dc.shift(changes, {}, limits)
        if dc is None:
            return None
        ac = self.ac.same if work.is_dc and not dc.watts else self.ac.shift(changes, dc.watts, limits)
        if ac is None or any(key not in dc.watts for key in ac.watts):
            return None
        return Shifted(dc, ac, paths)


class Work:
    """A fault as changes of paths. `limits` are currents at which a wrong fuse opens [A], `parts` act otherwise, and
    `is_dc` tells that the fault touches nothing at which AC arrives."""

    def __init__(self, cause: Cause, lowered: Lowered, limits: Mapping[str, float], is_dc: bool) -> None:
        self.id, self.cause, self.lowered, self.limits, self.is_dc = cause.id, cause, lowered, limits, is_dc
        self.parts = cause.off | ({cause.volts[0]} if cause.volts else set())

    def changes(
        self, paths: Mapping[str, ConductingElement], index: Mapping[tuple[str, str], int]
    ) -> tuple[list[BranchChange], dict[str, ConductingElement | None]]:
        """The changed branches where some paths conduct, and what became of every path that is changed."""
        now = self._paths(paths, index)
        found: list[BranchChange] = []
        for name, path in now.items():
            before = paths.get(name)
            if before is not None and path is not None and (path.a, path.b) == (before.a, before.b):
                found.append(BranchChange(path.a, path.b, 1.0 / path.ohm - 1.0 / before.ohm))
                continue
            if before is not None:
                found.append(BranchChange(before.a, before.b, -1.0 / before.ohm, True))
            if path is not None:
                found.append(BranchChange(path.a, path.b, 1.0 / path.ohm))
        return found, now

    def _paths(
        self, paths: Mapping[str, ConductingElement], index: Mapping[tuple[str, str], int]
    ) -> dict[str, ConductingElement | None]:
        found: dict[str, ConductingElement | None] = {
            name: self._edges[name] for name in self.cause.closed if name not in paths
        }
        found |= self._other_ohms({**paths, **found})
        for name, a, b in self.cause.moved:
            path = found.get(name) or paths.get(name)
            if path:
                found[name] = ConductingElement(path.id, index[a], index[b], path.ohm, path.source)
        found |= self._bridge(index)
        found |= {name: None for name in self.cause.opened if name in paths}
        return {name: found[name] for name in sorted(found)}

    def _other_ohms(self, paths: Mapping[str, ConductingElement | None]) -> dict[str, ConductingElement | None]:
        """Joints that are loose, and poles with a wrong fuse in them."""
        found: dict[str, ConductingElement | None] = {}
        for name, ohm in self.cause.ohms:
            if path := paths.get(name):
                found[name] = ConductingElement(path.id, path.a, path.b, path.ohm + ohm, path.source)
        part, rating = self.cause.fuse or ("", 0.0)
        for name, path in paths.items() if part else ():
            if path and isinstance(path.source, Inner) and path.source.part == part:
                found[name] = ConductingElement(path.id, path.a, path.b, fuse_ohm(rating), path.source)
        return found

    def _bridge(self, index: Mapping[tuple[str, str], int]) -> dict[str, ConductingElement | None]:
        first, second = map(index.get, self.cause.bridge or (("", ""), ("", "")))
        if first is None or second is None or first == second:
            return {}
        return {self.id: ConductingElement(self.id, first, second, BRIDGE_OHM, next(iter(self._edges.values())).source)}

    @property
    def _edges(self) -> Mapping[str, ConductingElement]:
        edges: dict[str, ConductingElement] | None = self.lowered.memory.get("edges by id")
        if edges is None:
            edges = {edge.id: edge for edge in self.lowered.edges}
            self.lowered.memory["edges by id"] = edges
        return edges


class Estimator:
    """Faults in the settings of a sound machine. Where no coil can hold itself, the order in which things switch does
    not matter: `every_round` False looks at the machine at rest only."""

    def __init__(self, trips: Mapping[str, float], upstream_a: float, *, every_round: bool) -> None:
        self.trips, self.upstream_a, self.every_round = trips, upstream_a, every_round
        self._moments: dict[int, tuple[OperatingPoint, Moment]] = {}

    def moment(self, point: OperatingPoint) -> Moment:
        """A round of the sound machine as networks, made once."""
        if id(point) not in self._moments:
            self._moments[id(point)] = (point, Moment(point, self.trips, self.upstream_a))
        return self._moments[id(point)][1]

    def follow(self, work: Work, run: Run) -> tuple[int, Shifted | None]:
        """The moment at which the meter reads, with a fault; or None and the event at which it goes another way."""
        shifted: Shifted | None = None
        for n, rounds in enumerate(run.rounds):
            for point in (point for way in rounds for point in (way if self.every_round else way[-1:])):
                shifted = self.moment(point).shifted(work)
                if shifted is None:
                    return n, None
        return len(run.rounds), shifted

    def reading(self, shifted: Shifted, run: Run, line: Line) -> float:
        """What a voltmeter or ammeter shows, and what is seen on or off; every coil stands as in the sound machine."""
        if line.seen is not None:
            return on_value(run, line.seen, (None, None), 0.0)
        index = run.point.lowered.index
        if line.meter is Meter.SEEN and line.red and line.black:
            apart = [shift.between(index[line.red], index[line.black]) for shift in (shifted.dc, shifted.ac)]
            return float(max(map(abs, apart)) >= line.on_v)
        is_ac = line.meter in (Meter.AC_V, Meter.AC_A)
        shift = shifted.ac if is_ac else shifted.dc
        if line.meter in (Meter.DC_A, Meter.AC_A):
            path = self.moment(run.rounds[-1][-1][-1]).paths.get(line.wire)
            path = shifted.paths.get(line.wire, path)
            return abs(shift.between(path.a, path.b) / path.ohm) if path else 0.0
        assert line.red is not None
        assert line.black is not None
        volts: Scalar = shift.between(index[line.red], index[line.black])
        return abs(volts) if is_ac else volts.real
