"""One bare network at one frequency, from a lowered circuit in one switching position."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from wiring.parts.elements import Coil, Draw, Element, Input, Output, Rectifying, Resistance
from wiring.solver.lowering import Lowered, is_closed
from wiring.solver.network import Branch, CurrentLoad, Diode, Network, Overload, PowerLoad, VoltageSource
from wiring.solver.solve import Prepared

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


class _Passive:
    """Conductors, contacts and resistances of one position."""

    def __init__(self, lowered: Lowered, kind: str, position: Position) -> None:
        self.lowered, self.kind, self.position = lowered, kind, position
        self.branches: list[Branch] = []
        self.keys: list[str | ElementKey | None] = []
        self.paths()
        for key, element in _kept(lowered, "passive", (Resistance, Coil)):
            if key[0] not in position.off:
                self.element(key, element)

    def branch(self, a: int, b: int, ohm: complex | float, key: str | ElementKey | None) -> None:
        if a != b:
            self.branches.append(Branch(a, b, ohm))
            self.keys.append(key)

    def paths(self) -> None:
        position = self.position
        for edge in self.lowered.edges:
            if is_closed(edge, position.moved, position.opened, position.closed):
                self.branch(edge.a, edge.b, edge.ohm, edge.id)
        for branch in self.lowered.mains_branches:
            self.branch(branch.a, branch.b, branch.ohm, None)
        if self.kind != "AC":
            for source in self.lowered.mains_sources:
                self.branch(source.plus, source.minus, source.ohm, None)

    def element(self, key: ElementKey, element: Element) -> None:
        index = self.lowered.index
        name = key[0]
        match element:
            case Resistance() if element.kind in ("", self.kind):
                self.branch(index[name, element.a], index[name, element.b], element.ohm, key)
            case Coil() if (element.kind or "DC") == self.kind:
                self.branch(index[name, element.a], index[name, element.b], _coil_ohm(element), key)


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
        for key, element in _kept(lowered, "active", _ACTIVE):
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
            self.power(key, PowerLoad(a, b, demand.watts, draw.lockout_v, draw.power_factor))
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


def _coil_ohm(coil: Coil) -> complex | float:
    if coil.kind != "AC" or coil.power_factor >= 1.0:
        return coil.ohm
    # `ohm` is U²/P: the impedance has the same voltage and power at the coil's power factor.
    magnitude = coil.ohm * coil.power_factor
    return complex(magnitude * coil.power_factor, magnitude * (1 - coil.power_factor**2) ** 0.5)


def passive_branches(lowered: Lowered, kind: str, position: Position) -> list[Branch]:
    """Conductors, closed contacts and resistances at one frequency, dead ends with them, by the circuit's nodes."""
    return _Passive(lowered, kind, position).branches


def _kept(lowered: Lowered, name: str, kinds: tuple[type, ...]) -> list[tuple[ElementKey, Element]]:
    """The elements of some kinds, kept by a name: most elements are none of them."""
    found: list[tuple[ElementKey, Element]] | None = lowered.memory.get(name)
    if found is None:
        found = [
            ((part.name, n), element)
            for part in lowered.circuit.parts.values()
            for n, element in enumerate(part.elements)
            if isinstance(element, kinds)
        ]
        lowered.memory[name] = found
    return found


def _frame(lowered: Lowered, kind: str, position: Position, active: _Active) -> _Frame:
    present = (*active.source_keys, "/", *active.power_keys, "/", *active.current_keys)
    key = (kind, position.moved, position.opened, position.closed, position.off, present)
    frame: _Frame | None = lowered.memory.get(key)
    if frame is None:
        passive = _Passive(lowered, kind, position)
        kept, hung = _peel(lowered, passive, active)
        at = {node: n for n, node in enumerate(kept)}
        keep = [n for n, branch in enumerate(passive.branches) if branch.a in at and branch.b in at]
        branches = tuple(
            Branch(at[passive.branches[n].a], at[passive.branches[n].b], passive.branches[n].ohm) for n in keep
        )
        references = (at[lowered.earth],) if lowered.earth in at else ()
        frame = _Frame(branches, tuple(passive.keys[n] for n in keep), kept, hung, at, references)
        if len(lowered.memory) > _KEPT_FRAMES:
            lowered.memory.clear()
        lowered.memory[key] = frame
    return frame


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
        tuple(PowerLoad(at[p.a], at[p.b], p.watts, p.lockout_v, p.power_factor) for p in found.powers),
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


def _peel(
    lowered: Lowered, passive: _Passive, found: _Active
) -> tuple[tuple[int, ...], tuple[tuple[int, int | None], ...]]:
    """The nodes that can carry current, and the dead ends peeled off them, the outermost first."""
    neighbours: list[list[int]] = [[] for _ in range(lowered.count)]
    for branch in passive.branches:
        neighbours[branch.a].append(branch.b)
        neighbours[branch.b].append(branch.a)
    held = _held(lowered, found)
    degree = [len(near) for near in neighbours]
    gone = bytearray(lowered.count)
    hung: list[tuple[int, int | None]] = []
    stack = [n for n in range(lowered.count) if degree[n] <= 1 and n not in held]
    while stack:
        node = stack.pop()
        if gone[node]:
            continue
        gone[node] = 1
        via = next((near for near in neighbours[node] if not gone[near]), None)
        hung.append((node, via))
        if via is not None:
            degree[via] -= 1
            if degree[via] <= 1 and via not in held:
                stack.append(via)
    return tuple(n for n in range(lowered.count) if not gone[n]), tuple(hung)


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
