"""The machine run by hand into a position: mains on, buttons worked one after the other, fuses that blow on the way."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import copy
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.control.overload import most_overloaded, trips_at
from wiring.design.motor.demands import Moment, demands_in
from wiring.parts.elements import Logic
from wiring.parts.motors import Shaft
from wiring.plan.models import StateEntry
from wiring.powerup.step import OUTPUTS_ON, Event, Setting
from wiring.solver.assembly import Actuator, Demand, ElementKey, Position
from wiring.solver.lowering import Lowered
from wiring.solver.operating import Layer, OperatingPoint
from wiring.solver.settling import Machine, operate, program_outputs

if TYPE_CHECKING:
    from wiring.design.design import Design

#: Multiple of its rating at which the breaker of the building is taken to open: magnetic release C, IEC 60898.
_UPSTREAM_MULTIPLE = 10.0
_UPSTREAM_A = 16.0
_BLOWN_AT_MOST = 6

#: Finds the operating point of a circuit in a position, coming from a point, perhaps near another one.
Solve = Callable[[Lowered, Position, OperatingPoint, OperatingPoint | None], OperatingPoint]


class _Watched(Machine):
    """A machine that keeps every round on its way to rest."""

    rounds: list[OperatingPoint]

    def step(self, dc: Layer, ac: Layer) -> list[str]:
        """As it is, with the round kept."""
        self.rounds.append(self.point(dc, ac, []))
        return super().step(dc, ac)


class Recorder:
    """Solves as `operate` does, and keeps the rounds."""

    def __init__(self) -> None:
        self._rounds: list[tuple[OperatingPoint, ...]] = []

    def __call__(
        self, lowered: Lowered, position: Position, start: OperatingPoint, near: OperatingPoint | None
    ) -> OperatingPoint:
        machine = _Watched(lowered, position, start, near or start)
        machine.rounds = []
        point = machine.settle()
        self._rounds.append(tuple(machine.rounds))
        return point

    def taken(self) -> tuple[tuple[OperatingPoint, ...], ...]:
        """The rounds since they were last taken."""
        found, self._rounds = tuple(self._rounds), []
        return found


class Loading(Struct, frozen=True):
    """What loads ask for, and which parts are switched off, in one kind of work."""

    demand: Mapping[ElementKey, Demand]
    off: frozenset[str]


class Fault(Struct, frozen=True):
    """What is wrong in a run: paths held open and closed, and parts that do nothing."""

    opened: frozenset[str] = frozenset()
    closed: frozenset[str] = frozenset()
    off: frozenset[str] = frozenset()
    fuses: Mapping[str, float] | None = None


SOUND = Fault()


class Run(Struct, frozen=True):
    """The machine at rest after every event; the last is where the meter reads. `rounds` are the points on the way to
    each, as far as they were recorded: several ways where fuses blew or a reset was taken in between."""

    trail: tuple[OperatingPoint, ...]
    rounds: tuple[tuple[tuple[OperatingPoint, ...], ...], ...] = ()

    @property
    def point(self) -> OperatingPoint:
        """Where the meter reads."""
        return self.trail[-1]

    def between(self, red: Node, black: Node, kind: str) -> float:
        """The voltage between two points [V]."""
        return self.point.between(red, black, kind)


def on_value(run: Run, seen: Actuator | None, probes: tuple[Node | None, Node | None], on_v: float) -> float:
    """1 where a coil is attracted, or two points stand at least `on_v` apart; else 0."""
    if seen is not None:
        return float(seen in run.point.attracted or seen in run.point.position.moved)
    assert probes[0] is not None
    assert probes[1] is not None
    return float(max(abs(run.between(probes[0], probes[1], kind)) for kind in ("DC", "AC")) >= on_v)


def loading(design: Design, load: str) -> Loading:
    """The loads of idle drives (""), of holding motors ("hold"), or of a state of the plan."""
    entries: Mapping[str, StateEntry]
    if load in design.state_entries:
        entries = design.state_entries[load]
    else:
        mode = "hold" if load == "hold" else "off"
        entries = {name: StateEntry(mode=mode) for name, part in design.parts.items() if isinstance(part.data, Shaft)}
    asked = demands_in(design.circuit, design.axes, entries, Moment.WORK)
    return Loading(asked.demand, asked.off)


class Operator:
    """A person who works the machine: one setting at a time, on the sound circuit or one with a fault in it."""

    def __init__(self, design: Design, lowered: Lowered | None = None) -> None:
        self.design = design
        self.lowered = lowered or design.lowered
        self.outputs = program_outputs(design.circuit)
        self.trips = trips_at(design.circuit)
        self.loadings: dict[str, Loading] = {}
        first = next(iter(design.states.values()))
        self.start = replace(first, attracted=frozenset(), input_w={})
        upstream = design.plan.mains.upstream if design.plan.mains else None
        self.upstream_a = _UPSTREAM_MULTIPLE * (getattr(upstream, "rating", None) or _UPSTREAM_A)

    def load(self, name: str) -> Loading:
        """The loading of that name, computed once."""
        if name not in self.loadings:
            self.loadings[name] = loading(self.design, name)
        return self.loadings[name]

    def run(
        self,
        setting: Setting,
        lowered: Lowered | None = None,
        fault: Fault = SOUND,
        memory: Memory | None = None,
        solve: Solve = operate,
        sound: Run | None = None,
        way: Session | None = None,
    ) -> Run:
        """The machine brought into a setting; `lowered` is the circuit with the fault in it.

        `memory` keeps the way so far, for the next setting that begins in the same way with the same fault; `solve`
        finds the operating point, and `sound` is the same setting without the fault, which makes that quicker. `way` is
        the sound machine on the way into the setting, as far as the fault makes no difference.
        """
        lowered = lowered or self.lowered
        if not setting.mains:
            lowered = replace(lowered, mains_sources=())
        asked = self.load(setting.load)
        position = Position(
            setting.moved,
            setting.opened | fault.opened,
            asked.off | fault.off,
            asked.demand,
            fault.closed,
        )
        memory = {} if memory is None else memory
        begun, steps = setting.begun, setting.steps
        known = max((n for n in range(len(steps) + 1) if (begun, steps[:n]) in memory), default=-1)
        if known >= 0:
            session = memory[begun, steps[:known]].twin()
        elif way:
            session = way.with_fault(lowered, position, fault, solve)
            known = len(session.trail) - 1
        else:
            outputs = self.design.operation.outputs_on.get(setting.load, self.outputs)
            session = Session(self, lowered, position, fault, solve, outputs)
            session.rest(sound)
            memory[begun, ()] = session.twin()
            known = 0
        for n in range(known, len(steps)):
            session.work(steps[n], sound)
            memory[begun, steps[: n + 1]] = session.twin()
        return Run(tuple(session.trail), tuple(session.rounds))


#: Machines on the way into settings, by how a setting begins and the events so far.
Memory = dict[object, "Session"]


class Session:
    """One machine on its way through the events of a setting."""

    def __init__(
        self,
        operator: Operator,
        lowered: Lowered,
        position: Position,
        fault: Fault,
        solve: Solve,
        outputs: frozenset[Actuator],
    ) -> None:
        #: What a program switches on: all from its test page, in a state of the plan what that needs.
        self.outputs = outputs
        self.solve = solve
        self.operator, self.lowered, self.position = operator, lowered, position
        self.trips = {**operator.trips, **(fault.fuses or {})}
        self.by_hand: frozenset[Actuator] = frozenset()
        self.base = position.moved
        self.pressed: dict[Actuator, bool] = {}
        self.before = replace(operator.start, lowered=lowered)
        self.trail: list[OperatingPoint] = []
        self.rounds: list[tuple[tuple[OperatingPoint, ...], ...]] = []

    def with_fault(self, lowered: Lowered, position: Position, fault: Fault, solve: Solve) -> Session:
        """The same moment of a machine whose fault has made no difference yet."""
        other = self.twin()
        other.solve, other.lowered, other.position = solve, lowered, position
        other.trips = {**self.operator.trips, **(fault.fuses or {})}
        return other

    def twin(self) -> Session:
        """The same moment, to go on from."""
        other = copy(self)
        other.pressed, other.trail, other.rounds = dict(self.pressed), list(self.trail), list(self.rounds)
        return other

    def work(self, event: Event, sound: Run | None = None) -> None:
        """One thing done by hand, or the outputs of a program switched on."""
        key = (event.part, event.actuator)
        if event is OUTPUTS_ON:
            self.base = self.base | self.outputs
        else:
            self.by_hand = self.by_hand | {key} if event.on else self.by_hand - {key}
        self.rest(sound)

    def rest(self, sound: Run | None = None) -> None:
        """Everything comes to rest, resets taken."""
        near = sound.trail[len(self.trail)] if sound else None
        point = self._settle(near)
        if self._resets(point):
            point = self._settle(near)
            self._resets(point)
        self.trail.append(point)
        if isinstance(self.solve, Recorder):
            self.rounds.append(self.solve.taken())

    def _settle(self, near: OperatingPoint | None) -> OperatingPoint:
        for _ in range(_BLOWN_AT_MOST):
            position = replace(self.position, moved=self.base | self.by_hand)
            point = self.solve(self.lowered, position, self.before, near)
            self.before = point
            if not self._blow(point):
                break
        return point

    def _blow(self, point: OperatingPoint) -> bool:
        """Open the device that is most above its tripping current, or lose the mains; True when one opened."""
        worst = most_overloaded(point, self.trips)
        if worst:
            self.position = replace(self.position, opened=self.position.opened | {worst})
            return True
        layer = point.ac
        drawn = [
            abs(amps)
            for key, amps in zip(layer.assembled.source_keys, layer.solution.source_a, strict=True)
            if key is None and amps is not None
        ]
        if self.lowered.mains_sources and max(drawn, default=0.0) > self.operator.upstream_a:
            self.lowered = replace(self.lowered, mains_sources=())
            return True
        return False

    def _on(self, point: OperatingPoint, key: Actuator) -> bool:
        return key in point.attracted or key in point.position.moved

    def _resets(self, point: OperatingPoint) -> bool:
        """Let logic units take their reset, as their mode asks; True when one came on."""
        fresh = set()
        for part, unit in self.lowered.circuit.elements(Logic):
            key, reset = (part.name, unit.outputs), (part.name, unit.reset)
            ready = all(self._on(point, (part.name, name)) for name in (unit.supply, *unit.channels))
            pressed = self._on(point, reset)
            counts = self.pressed.get(key, False) and not pressed if unit.reset_mode == "monitored" else pressed
            if counts and ready and key not in point.attracted:
                fresh.add(key)
            self.pressed[key] = pressed and ready
        if fresh:
            self.before = replace(point, attracted=point.attracted | fresh)
        return bool(fresh)
