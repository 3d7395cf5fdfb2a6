"""What every line would read with a fault in the machine: simulated only where the fault makes something switch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from math import inf

from wiring.circuit.model import Node
from wiring.circuit.roles import Role
from wiring.powerup.builder import Builder
from wiring.powerup.causes import Cause, run_fault, single_causes, with_cause
from wiring.powerup.estimate import Estimator, Shifted, Work
from wiring.powerup.machine import Memory, Operator, Recorder, Run, on_value
from wiring.powerup.ohms import DeadMeter, measure
from wiring.powerup.quick import Quick, may_latch
from wiring.powerup.step import Line, Meter, Setting
from wiring.solver.lowering import Lowered
from wiring.solver.operating import Layer

#: Runs kept for further measurements; the oldest go first.
_KEPT_RUNS = 600
_DC_ROLES = (Role.PLUS, Role.ZERO, Role.SIGNAL, Role.MOTOR)
#: Causes whose way through the events is kept.
_KEPT_WAYS = 200


class Predictor:
    """Readings by cause and setting, computed when asked for and kept."""

    def __init__(self, to: Builder) -> None:
        self.to = to
        self.survey = to.survey
        self.operator = Operator(to.design, self.survey.live)
        self.lines = tuple(line for line in to.lines if line.is_numeric)
        self.looks = tuple(line for line in to.lines if line.about)
        self.by_setting: dict[Setting, tuple[Line, ...]] = {}
        for line in self.lines:
            assert line.setting is not None
            self.by_setting[line.setting] = (*self.by_setting.get(line.setting, ()), line)
        #: The place of every line of the sheet within its setting, by the identity of the line.
        self.places = {id(line): n for lines in self.by_setting.values() for n, line in enumerate(lines)}
        self._works: dict[str, Work] = {}
        self._ways: dict[tuple[str, Setting], tuple[int, Shifted | None]] = {}
        self._meters: dict[Setting, DeadMeter] = {}
        self._readings: dict[tuple[str, Setting], tuple[float, ...]] = {}
        self._runs: dict[tuple[str, Setting], Run] = {}
        self._memory: dict[str, Memory] = {}
        self._sound_runs: dict[Setting, Run] = {}
        self._sound_ways: Memory = {}
        self._recorder = Recorder()
        self._ac_layers: dict[object, Layer] = {}

    @cached_property
    def causes(self) -> tuple[Cause, ...]:
        """Every single fault."""
        return single_causes(self.survey)

    def lowered(self, cause: Cause | None, dead: bool) -> Lowered:
        """The circuit with a cause in it, at 20 °C for the ohmmeter."""
        if cause is None:
            return self.survey.cold if dead else self.survey.live
        return with_cause(self.survey.cold_with_bridges if dead else self.survey.live, cause)

    def sound(self, setting: Setting) -> tuple[float, ...]:
        """What the lines of a setting read without a fault."""
        key = ("", setting)
        if key not in self._readings:
            self._readings[key] = self.read(None, setting, self.by_setting[setting])
        return self._readings[key]

    def readings(self, cause: Cause, setting: Setting) -> tuple[float, ...]:
        """What the lines of a setting read with a cause."""
        key = (cause.id, setting)
        if key not in self._readings:
            self._readings[key] = self.read(cause, setting, self.by_setting[setting])
        return self._readings[key]

    def quick(self, cause: Cause, setting: Setting) -> tuple[float, ...] | None:
        """The same where no simulation is needed for it, else None."""
        key = (cause.id, setting)
        if key not in self._readings:
            found = self._estimated(cause, setting, self.by_setting[setting])
            if found is None:
                return None
            self._readings[key] = found
        return self._readings[key]

    def read(self, cause: Cause | None, setting: Setting, lines: Sequence[Line]) -> tuple[float, ...]:
        """Any lines in a setting; volts and amperes unsigned at AC, resistances infinite where open."""
        if cause is not None:
            found = self._estimated(cause, setting, lines)
            if found is not None:
                return found
        if not setting.mains:
            ohms = iter(self._ohms(cause, setting, [line for line in lines if line.meter.is_resistance]))
            return tuple(next(ohms) if line.meter.is_resistance else 0.0 for line in lines)
        run = self.run(cause, setting)
        return tuple(live_reading(run, line) for line in lines)

    def _estimated(self, cause: Cause, setting: Setting, lines: Sequence[Line]) -> tuple[float, ...] | None:
        work = self._work(cause)
        if not setting.mains:
            return self._dead_readings(work, setting, lines)
        run = self.sound_run(setting)
        shifted = self._way(work, setting)[1]
        if shifted is None:
            return None
        if shifted.is_same:
            known = self.by_setting.get(setting, ())
            return self.sound(setting) if lines is known else self.read(None, setting, lines)
        return tuple(self.estimator.reading(shifted, run, line) for line in lines)

    def _dead_readings(self, work: Work, setting: Setting, lines: Sequence[Line]) -> tuple[float, ...] | None:
        if setting not in self._meters:
            self._meters[setting] = DeadMeter(self.survey.cold_with_bridges, setting)
        meter = self._meters[setting]
        patches, _ = work.changes(meter.paths, meter.lowered.index)
        found = meter.read(patches, [_probes(line) for line in lines if line.meter.is_resistance])
        if found is None:
            return None
        ohms = iter(found)
        return tuple(next(ohms) if line.meter.is_resistance else 0.0 for line in lines)

    def _work(self, cause: Cause) -> Work:
        if cause.id not in self._works:
            fault = run_fault(cause, self.survey)
            self._works[cause.id] = Work(cause, self.survey.live, fault.fuses or {}, self._is_dc(cause))
        return self._works[cause.id]

    def _way(self, work: Work, setting: Setting) -> tuple[int, Shifted | None]:
        key = (work.id, setting)
        if key not in self._ways:
            self._ways[key] = self.estimator.follow(work, self.sound_run(setting))
        return self._ways[key]

    def events_to_simulate(self, cause: Cause, setting: Setting | None) -> int:
        """How many things done by hand lie between where a cause first makes a difference and where the meter reads."""
        if setting is None or not setting.mains:
            return 0
        return len(setting.steps) + 1 - self._way(self._work(cause), setting)[0]

    @cached_property
    def estimator(self) -> Estimator:
        """Faults as changes of the sound machine's networks."""
        operator = self.operator
        return Estimator(operator.trips, operator.upstream_a, every_round=self._latching)

    def _ohms(self, cause: Cause | None, setting: Setting, lines: Sequence[Line]) -> tuple[float, ...]:
        probes = [_probes(line) for line in lines]
        opened = cause.opened if cause else frozenset()
        closed = cause.closed if cause else frozenset()
        found = measure(self.lowered(cause, True), setting, probes, opened, closed)
        return tuple(inf if ohm is None else ohm for ohm in found)

    def sound_run(self, setting: Setting) -> Run:
        """The sound machine in a setting, with every round on its way."""
        if setting not in self._sound_runs:
            self._sound_runs[setting] = self.operator.run(setting, memory=self._sound_ways, solve=self._recorder)
        return self._sound_runs[setting]

    def run(self, cause: Cause | None, setting: Setting) -> Run:
        """The machine in a setting with a cause, simulated from where the fault first makes a difference."""
        if cause is None:
            return self.sound_run(setting)
        key = (cause.id, setting)
        if key not in self._runs:
            if len(self._runs) >= _KEPT_RUNS:
                self._runs.pop(next(iter(self._runs)))
            lowered = self.lowered(cause, False)
            if cause.id not in self._memory and len(self._memory) >= _KEPT_WAYS:
                self._memory.pop(next(iter(self._memory)))
            memory = self._memory.setdefault(cause.id, {})
            quick = Quick(self._ac_layers, "" if self._is_dc(cause) else cause.id, self._mains_paths, self._latching)
            sound, way = self.sound_run(setting), None
            same = self._way(self._work(cause), setting)[0]
            if same > 0:
                way = self._sound_ways[setting.begun, setting.steps[: min(same, len(sound.trail)) - 1]]
            fault = run_fault(cause, self.survey)
            self._runs[key] = self.operator.run(setting, lowered, fault, memory, quick, sound, way)
        return self._runs[key]

    @cached_property
    def _latching(self) -> bool:
        return may_latch(self.survey.design)

    @cached_property
    def _mains_paths(self) -> frozenset[str]:
        """Conductors and contacts with an end that is not known to be on DC."""
        roles = self.survey.design.roles.role
        edges = self.survey.circuit.edges
        return frozenset(edge.id for edge in edges if not {roles.get(edge.a), roles.get(edge.b)} <= set(_DC_ROLES))

    def _is_dc(self, cause: Cause) -> bool:
        """Whether a cause touches nothing at which AC arrives."""
        roles = self.survey.design.roles.role
        ends = [end for _, a, b in self._changes(cause) for end in (a, b)]
        return not (cause.off or cause.volts or cause.fuse) and all(roles.get(end) in _DC_ROLES for end in ends)

    def _changes(self, cause: Cause) -> Iterator[tuple[str, Node, Node]]:
        """What a cause does to the network, as pairs of points: opened, changed, joined."""
        wires, inner = self.survey.circuit.conductor, self._inner
        for name in sorted(cause.opened):
            a, b = (wires[name].a, wires[name].b) if name in wires else inner[name]
            yield "opened", a, b
        for name, _ in cause.ohms:
            yield "changed", wires[name].a, wires[name].b
        for name in sorted(cause.closed):
            a, b = inner[name]
            yield "joined", a, b
        if cause.bridge:
            yield "joined", self._real(cause.bridge[0]), self._real(cause.bridge[1])
        for name, a, b in cause.moved:
            yield "opened", wires[name].a, wires[name].b
            yield ("joined", a, b)
        if cause.fuse:
            for pole in sorted(self.survey.poles([cause.fuse[0]])):
                a, b = inner[pole]
                yield "changed", a, b

    @cached_property
    def _inner(self) -> Mapping[str, tuple[Node, Node]]:
        return {path.id: (path.a, path.b) for path in self.survey.circuit.inner}

    def _real(self, node: Node) -> Node:
        return node if node[0] else (self.survey.earth or node)


def _probes(line: Line) -> tuple[Node, Node]:
    assert line.red is not None
    assert line.black is not None
    return line.red, line.black


def live_reading(run: Run, line: Line) -> float:
    """What a voltmeter or ammeter shows, and what is seen on or off."""
    if line.meter is Meter.SEEN:
        return on_value(run, line.seen, (line.red, line.black), line.on_v)
    kind = "AC" if line.meter in (Meter.AC_V, Meter.AC_A) else "DC"
    if line.meter in (Meter.DC_A, Meter.AC_A):
        return abs(run.point.path_current(kind).get(line.wire, 0.0))
    return run.between(*_probes(line), kind)
