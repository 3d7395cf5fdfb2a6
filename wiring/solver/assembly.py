"""One bare network at one frequency, from a lowered circuit in one switching position."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import TypeVar

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.parts.elements import Draw, Element, Input, Output, Rectifying
from wiring.solver.lowering import Lowered
from wiring.solver.network import Branch, CurrentLoad, Diode, Network, Overload, PowerLoad, VoltageSource
from wiring.solver.passive import Passive, elements_of
from wiring.solver.solve import Prepared

T = TypeVar("T")
#: An element of a part: (part, place in its list of elements).
ElementKey = tuple[str, int]
Actuator = tuple[str, str]


class Demand(Struct, frozen=True):
    """What a load asks for in a state: constant power or constant current."""

    watts: float | None = None
    amps: float | None = None


class Position(Struct, frozen=True):
    """How everything stands: actuators not at rest, paths held open, parts switched off, what loads ask for."""

    moved: frozenset[Actuator] = frozenset()
    opened: frozenset[str] = frozenset()
    off: frozenset[str] = frozenset()
    demand: Mapping[ElementKey, Demand] = field(default_factory=dict)
    closed: frozenset[str] = frozenset()


class Flow(Struct, frozen=True):
    """What passes through the converters: volts of each live output, watts drawn by each input."""

    output_v: Mapping[ElementKey, complex]
    input_w: Mapping[ElementKey, float]


class Assembled(Struct, frozen=True, eq=False):
    """A network, with the key of every branch, source and load in its order.

    `hung` are the dead ends left out, each with the node whose voltage it has (None when it touches nothing).
    """

    network: Network
    hung: tuple[tuple[int, int | None], ...]
    kept: tuple[int, ...]
    at: Mapping[int, int]
    branch_keys: tuple[str | ElementKey | None, ...]
    source_keys: tuple[ElementKey | None, ...]
    power_keys: tuple[ElementKey, ...]
    current_keys: tuple[ElementKey, ...]
    diode_keys: tuple[ElementKey, ...]
    prepared: Prepared = field(default_factory=Prepared)


#: Elements that draw or deliver power: what changes from one assembly to the next while the contacts stand still.
_ACTIVE = (Draw, Input, Output, Rectifying)
#: Frames kept for one circuit; a search among many positions starts afresh beyond it.
_KEPT_FRAMES = 64


class _Frame(Struct, frozen=True):
    """The part of a network that stays while no contact moves and the same elements draw and deliver."""

    branches: tuple[Branch, ...]
    branch_keys: tuple[str | ElementKey | None, ...]
    kept: tuple[int, ...]
    hung: tuple[tuple[int, int | None], ...]
    at: Mapping[int, int]
    references: tuple[int, ...]
    prepared: Prepared = field(default_factory=Prepared)


class _Active:
    """Sources, loads and diodes of one position with what flows through the converters."""

    def __init__(self, lowered: Lowered, kind: str, position: Position, flow: Flow) -> None:
        self.lowered, self.kind, self.position, self.flow = lowered, kind, position, flow
        self.sources: list[VoltageSource] = []
        self.source_keys: list[ElementKey | None] = []
        self.powers: list[PowerLoad] = []
        self.power_keys: list[ElementKey] = []
        self.currents: list[CurrentLoad] = []
        self.current_keys: list[ElementKey] = []
        self.diodes: list[Diode] = []
        self.diode_keys: list[ElementKey] = []
        if kind == "AC":
            self.sources += lowered.mains_sources
            self.source_keys += [None] * len(lowered.mains_sources)
        for key, element in _kept(lowered, _ACTIVE, lambda: elements_of(lowered, _ACTIVE)):
            self.element(key, element)

    def element(self, key: ElementKey, element: Element) -> None:
        index = self.lowered.index
        name = key[0]
        match element:
            case Draw() if element.kind == self.kind and name not in self.position.off:
                self.draw(key, element, index[name, element.a], index[name, element.b])
            case Input() if element.kind == self.kind:
                watts = self.flow.input_w.get(key, 0.0)
                self.power(
                    key, PowerLoad(index[name, element.a], index[name, element.b], watts, 0.0, element.power_factor)
                )
            case Output() if element.kind == self.kind and key in self.flow.output_v:
                self.output(key, element)
            case Rectifying() if self.kind == "DC":
                self.diodes.append(Diode(index[name, element.a], index[name, element.b], element.drop_v, element.ohm))
                self.diode_keys.append(key)

    def draw(self, key: ElementKey, draw: Draw, a: int, b: int) -> None:
        demand = self.position.demand.get(key, Demand(draw.watts, draw.amps))
        if demand.watts:
            self.power(key, PowerLoad(a, b, demand.watts, draw.lockout_v, draw.power_factor, draw.either_way))
        elif demand.amps and a != b:
            self.currents.append(CurrentLoad(a, b, demand.amps, draw.power_factor))
            self.current_keys.append(key)

    def power(self, key: ElementKey, load: PowerLoad) -> None:
        if load.watts > 0.0 and load.a != load.b:
            self.powers.append(load)
            self.power_keys.append(key)

    def output(self, key: ElementKey, output: Output) -> None:
        a, b = self.lowered.index[key[0], output.plus], self.lowered.index[key[0], output.minus]
        volts = self.flow.output_v[key] if self.kind == "AC" else abs(self.flow.output_v[key])
        if a == b:
            return
        limit = output.limit_a
        mode = Overload(output.overload) if limit is not None or output.overload == "stiff" else Overload.STIFF
        self.sources.append(VoltageSource(a, b, volts, output.ohm, mode, limit))
        self.source_keys.append(key)


def passive_branches(lowered: Lowered, kind: str, position: Position) -> list[Branch]:
    """Conductors, closed contacts and resistances at one frequency, dead ends with them, by the circuit's nodes."""
    passive = Passive(lowered, kind)
    away = passive.away(position.moved, position.opened, position.closed, position.off)
    return [branch for place, branch in enumerate(passive.branches) if place not in away]


def _kept(lowered: Lowered, name: Hashable, work_out: Callable[[], T]) -> T:
    """What was worked out of a circuit before."""
    if name not in lowered.memory:
        if len(lowered.memory) > _KEPT_FRAMES:
            lowered.memory.clear()
        lowered.memory[name] = work_out()
    found: T = lowered.memory[name]
    return found


def _frame(lowered: Lowered, kind: str, position: Position, active: _Active) -> _Frame:
    present = (*active.source_keys, "/", *active.power_keys, "/", *active.current_keys)
    key = (kind, position.moved, position.opened, position.closed, position.off, present)
    return _kept(lowered, key, lambda: _framed(lowered, kind, position, active))


def _framed(lowered: Lowered, kind: str, position: Position, active: _Active) -> _Frame:
    passive = _kept(lowered, kind, lambda: Passive(lowered, kind))
    away = passive.away(position.moved, position.opened, position.closed, position.off)
    kept, hung = passive.peeled(away, _held(lowered, active))
    at = {node: n for n, node in enumerate(kept)}
    branches, keys = [], []
    for place, branch in enumerate(passive.branches):
        if branch.a in at and branch.b in at and place not in away:
            branches.append(Branch(at[branch.a], at[branch.b], branch.ohm))
            keys.append(passive.keys[place])
    references = (at[lowered.earth],) if lowered.earth in at else ()
    return _Frame(tuple(branches), tuple(keys), tuple(kept), tuple(hung), at, references)


def assemble(lowered: Lowered, kind: str, position: Position, flow: Flow) -> Assembled:
    """The network at 0 Hz (`kind` DC) or at mains frequency (AC), without the dead ends that carry nothing."""
    found = _Active(lowered, kind, position, flow)
    frame = _frame(lowered, kind, position, found)
    at = frame.at
    network = Network(
        len(frame.kept),
        frame.references,
        frame.branches,
        tuple(VoltageSource(at[s.plus], at[s.minus], s.volts, s.ohm, s.overload, s.limit_a) for s in found.sources),
        tuple(replace(p, a=at[p.a], b=at[p.b]) for p in found.powers),
        tuple(CurrentLoad(at[c.a], at[c.b], c.amps, c.power_factor) for c in found.currents),
        tuple(Diode(at[d.a], at[d.b], d.drop_v, d.ohm) for d in found.diodes),
    )
    return Assembled(
        network,
        frame.hung,
        frame.kept,
        at,
        frame.branch_keys,
        tuple(found.source_keys),
        tuple(found.power_keys),
        tuple(found.current_keys),
        tuple(found.diode_keys),
        frame.prepared,
    )


def _held(lowered: Lowered, found: _Active) -> set[int]:
    held = {lowered.earth}
    for source in found.sources:
        held |= {source.plus, source.minus}
    for power in found.powers:
        held |= {power.a, power.b}
    for current in found.currents:
        held |= {current.a, current.b}
    for diode in found.diodes:
        held |= {diode.a, diode.b}
    return held
