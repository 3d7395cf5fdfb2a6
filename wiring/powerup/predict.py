"""What every line would read with a fault in the machine: solved again only where the fault can be noticed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from math import inf

from wiring.circuit.model import Node
from wiring.circuit.roles import Role
from wiring.powerup.builder import Builder
from wiring.powerup.causes import Cause, run_fault, single_causes, with_cause
from wiring.powerup.machine import Run, Session
from wiring.powerup.notice import LiveNotice
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
        self.survey, self.operator = to.survey, to.operator
        self.lines = tuple(line for line in to.lines if line.is_numeric)
        self.looks = tuple(line for line in to.lines if line.about)
        self.by_setting: dict[Setting, tuple[Line, ...]] = {}
        for line in self.lines:
            assert line.setting is not None
            self.by_setting[line.setting] = (*self.by_setting.get(line.setting, ()), line)
        #: The place of every line of the sheet within its setting, by the identity of the line.
        self.places = {id(line): n for lines in self.by_setting.values() for n, line in enumerate(lines)}
        self._noticed: dict[tuple[str, Setting], bool] = {}
        self._readings: dict[tuple[str, Setting], tuple[float, ...]] = {}
        self._runs: dict[tuple[str, Setting], Run] = {}
        self._memory: dict[str, dict[object, Session]] = {}
        self._ac_layers: dict[object, Layer] = {}
        self._notices: dict[Setting, LiveNotice | DeadMeter] = {}

    @cached_property
    def causes(self) -> tuple[Cause, ...]:
        """Every single fault."""
        return single_causes(self.survey)

    def lowered(self, cause: Cause | None, dead: bool) -> Lowered:
        """The circuit with a cause in it, at 20 °C for the ohmmeter."""
        base = self.survey.cold if dead else self.to.design.lowered
        return base if cause is None else with_cause(base, cause)

    # Sound readings.

    def sound(self, setting: Setting) -> tuple[float, ...]:
        """What the lines of a setting read without a fault."""
        return self._kept(None, setting)

    def readings(self, cause: Cause, setting: Setting) -> tuple[float, ...]:
        """What the lines of a setting read with a cause."""
        if (cause.id, setting) not in self._readings and not self.is_noticed(cause, setting):
            return self.sound(setting)
        return self._kept(cause, setting)

    def _kept(self, cause: Cause | None, setting: Setting) -> tuple[float, ...]:
        key = ("" if cause is None else cause.id, setting)
        if key not in self._readings:
            self._readings[key] = self.read(cause, setting, self.by_setting[setting])
        return self._readings[key]

    def read(self, cause: Cause | None, setting: Setting, lines: Sequence[Line]) -> tuple[float, ...]:
        """Any lines in a setting, solved now; volts and amperes unsigned at AC, resistances infinite where open."""
        if not setting.mains:
            ohms = iter(self._ohms(cause, setting, [line for line in lines if line.meter.is_resistance]))
            return tuple(next(ohms) if line.meter.is_resistance else 0.0 for line in lines)
        run = self.run(cause, setting)
        return tuple(live_reading(run, line) for line in lines)

    def _ohms(self, cause: Cause | None, setting: Setting, lines: Sequence[Line]) -> tuple[float, ...]:
        probes = [_probes(line) for line in lines]
        opened = cause.opened if cause else frozenset()
        closed = cause.closed if cause else frozenset()
        found = measure(self.lowered(cause, True), setting, probes, opened, closed)
        return tuple(inf if ohm is None else ohm for ohm in found)

    def run(self, cause: Cause | None, setting: Setting) -> Run:
        """The machine in a setting with a cause."""
        if cause is None:
            return self.to.run(setting)
        key = (cause.id, setting)
        if key not in self._runs:
            if len(self._runs) >= _KEPT_RUNS:
                self._runs.pop(next(iter(self._runs)))
            lowered = self.lowered(cause, False)
            if cause.id not in self._memory and len(self._memory) >= _KEPT_WAYS:
                self._memory.pop(next(iter(self._memory)))
            way = self._memory.setdefault(cause.id, {})
            quick = Quick(self._ac_layers, "" if self._is_dc(cause) else cause.id, self._mains_paths, self._latching)
            self._runs[key] = self.operator.run(
                setting, lowered, run_fault(cause, self.survey), way, quick, self.to.run(setting)
            )
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
        return not (cause.off or cause.unlinked or cause.volts or cause.fuse) and all(
            roles.get(end) in _DC_ROLES for end in ends
        )

    def is_noticed(self, cause: Cause, setting: Setting) -> bool:
        """Whether a cause can change any reading of a setting; True when in doubt."""
        key = (cause.id, setting)
        if key not in self._noticed:
            self._noticed[key] = self._is_noticed(cause, setting)
        return self._noticed[key]

    def _is_noticed(self, cause: Cause, setting: Setting) -> bool:
        if setting not in self._notices:
            lines = self.by_setting[setting]
            dead = not setting.mains
            probes = [_probes(line) for line in lines if line.red and (line.meter.is_resistance or not dead)]
            self._notices[setting] = (
                LiveNotice(self.to.run(setting), probes)
                if setting.mains
                else DeadMeter(self.survey.cold, setting, probes)
            )
        notice = self._notices[setting]
        return any(_noticed(notice, change) for change in self._changes(cause)) or self._acts_otherwise(cause, setting)

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

    def _acts_otherwise(self, cause: Cause, setting: Setting) -> bool:
        """Causes that are no change between two points: parts that are dead or low, bridges left out."""
        if cause.unlinked:
            return True
        return setting.mains and bool(cause.off or cause.volts)

    @cached_property
    def _inner(self) -> Mapping[str, tuple[Node, Node]]:
        return {path.id: (path.a, path.b) for path in self.survey.circuit.inner}

    def _real(self, node: Node) -> Node:
        return node if node[0] else (self.survey.earth or node)


def _noticed(notice: LiveNotice | DeadMeter, change: tuple[str, Node, Node]) -> bool:
    what, a, b = change
    if isinstance(notice, DeadMeter):
        return notice.notices(a, b)
    if what == "opened":
        return notice.carries(a, b) or notice.parts_probes(a, b)
    return notice.carries(a, b) if what == "changed" else notice.differs(a, b)


def _probes(line: Line) -> tuple[Node, Node]:
    assert line.red is not None
    assert line.black is not None
    return line.red, line.black


def live_reading(run: Run, line: Line) -> float:
    """What a voltmeter or ammeter shows."""
    kind = "AC" if line.meter in (Meter.AC_V, Meter.AC_A) else "DC"
    if line.meter in (Meter.DC_A, Meter.AC_A):
        return abs(run.point.path_current(kind).get(line.wire, 0.0))
    return run.between(*_probes(line), kind)
