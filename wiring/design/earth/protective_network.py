"""The protective earth as a network: its conductors, what leaks into it, and loads that return through it."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from msgspec import Struct

from wiring.circuit.model import Conductor, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.design.nets import far_from_earth
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.device import Device
from wiring.parts.elements import Coil, Draw, Feed, Input, Link, Pole, Resistance, Switch
from wiring.parts.loads import ProcessSource
from wiring.parts.passive import Metalwork, Resistor
from wiring.parts.protection import SurgeArrester


class EarthReturn(Struct, frozen=True):
    """A conductor to the protective earth through which loads return; `sources` feed them, `amps` flow in `state`."""

    bond: Conductor
    loads: tuple[str, ...]
    sources: tuple[str, ...]
    amps: float
    state: str


def earth_inlets(machine: Machine) -> tuple[Node, ...]:
    """The points at which the incoming protective conductor arrives."""
    return tuple(
        (part.name, element.terminal)
        for part, element in machine.circuit.elements(Feed)
        if isinstance(element, Feed) and element.conductor == "PE"
    )


def protective_conductors(machine: Machine) -> tuple[Conductor, ...]:
    """The conductors between two protective earth points."""
    circuit = machine.circuit
    return tuple(
        conductor
        for conductor in circuit.conductors
        if conductor.kind != "shield" and is_earth_point(circuit, conductor.a) and is_earth_point(circuit, conductor.b)
    )


def _loads_at(machine: Machine, nets: frozenset[Node] | set[Node]) -> Iterator[tuple[str, Node]]:
    """Parts that take power with one end on the nets, and their other end."""
    for part, element in machine.circuit.elements(Draw, Coil, Input, Resistance):
        assert isinstance(element, Draw | Coil | Input | Resistance)
        a, b = (part.name, element.a), (part.name, element.b)
        for near, far in ((a, b), (b, a)):
            if machine.nets.of[near] in nets and machine.nets.of[far] not in nets:
                yield part.name, far


def earth_returns(machine: Machine, operation: Operation) -> list[EarthReturn]:
    """Loads whose only way back to their source is the protective earth, by the conductor that leads into it."""
    found = []
    for net, bonds in machine.nets.bonds_at.items():
        reach = machine.nets.reach(net)
        if any(reached.pole.main for reached in reach.sources):
            continue
        loads = list(_loads_at(machine, set(reach.ohm_to)))
        sources = {r.pole.source for _, far in loads for r in machine.nets.reach(far).sources if r.pole.main}
        if loads and sources:
            amps, state = _largest(operation, bonds[0])
            names = tuple(sorted({name for name, _ in loads}))
            found.append(EarthReturn(bonds[0], names, tuple(sorted(sources)), amps, state))
    return found


class SourceReturn(Struct, frozen=True):
    """A source whose current comes back through the protective earth: `bond` ties its own pole to it, `others` the rail
    of its loads, which metal does not join to that pole; `amps` flow in `state`. `loads` lie on that rail."""

    source: str
    bond: Conductor
    others: tuple[Conductor, ...]
    loads: tuple[str, ...]
    amps: float
    state: str


def source_returns(machine: Machine, operation: Operation) -> Iterator[SourceReturn]:
    """The poles of direct current sources that only a bond joins to the rail of their loads; not those of a process."""
    nets = machine.nets
    single = {net: bonds[0] for net, bonds in nets.bonds_at.items() if len(bonds) == 1}
    flowing = {net: (bond, *_largest(operation, bond, ("DC",))) for net, bond in single.items()}
    for net, (bond, amps, state) in flowing.items():
        poles = {pole.source for pole in nets.poles_at.get(net, ()) if pole.main and pole.kind == "DC"}
        owners = [name for name in sorted(poles) if not isinstance(machine.parts[name].data, ProcessSource)]
        if not owners or amps <= 0.0 or {name for name, _ in nets.members[net]} - set(owners) - _earthy(machine, bond):
            continue  # a rail with loads of its own is only tied to the earth
        others = [other for far, (other, back_a, _) in flowing.items() if far != net and back_a >= 0.5 * amps]
        ends = [nets.of[far_from_earth(machine.circuit, other)] for other in others]
        loads = sorted({name for end in ends for name, _ in nets.members[end]})
        yield SourceReturn(owners[0], bond, tuple(others), tuple(loads), amps, state)


class StrayReturn(Struct, frozen=True):
    """A load between a line of the mains and the earthed return of another source: its current comes back through the
    protective earth. `lead` leads it to that rail, `amps` flow in `state`."""

    load: str
    lead: Conductor
    rail: str
    amps: float
    state: str


def stray_returns(machine: Machine, operation: Operation) -> Iterator[StrayReturn]:
    """The loads on a line of the mains whose other end lies on a rail of something else that is tied to the earth."""
    nets = machine.nets
    for part, element in machine.circuit.elements(Draw, Coil, Input, Resistance):
        assert isinstance(element, Draw | Coil | Input | Resistance)
        for near, far in ((element.a, element.b), (element.b, element.a)):
            reach = nets.reach((part.name, near))
            own = {r.pole.source: r.pole.sign for r in reach.sources if r.pole.main}
            lined = any(r.pole.main and r.pole.sign[0] == "L" for r in nets.reach((part.name, far)).sources)
            if (
                not lined
                or not own
                or any(sign[0] in "LN" for sign in own.values())
                or nets.bonds_at.keys().isdisjoint(reach.ohm_to)
            ):
                continue
            for lead in machine.circuit.conductors_at((part.name, near))[:1]:
                amps, state = _largest(operation, lead)
                yield StrayReturn(part.name, lead, min(own), amps, state)


def _earthy(machine: Machine, bond: Conductor) -> set[str]:
    """The parts at the ends of a bond."""
    return {name for name, _ in bond.ends if name in machine.parts}


def unearthed(machine: Machine, found: EarthReturn) -> bool:
    """Whether no pole of any source is earthed, so that nothing comes back. What watches an insulation, and a resistor
    that holds a rail to earth, lie there on purpose."""
    if any(isinstance(machine.parts[name].data, Device | Resistor | SurgeArrester) for name in found.loads):
        return False
    mains = machine.plan.mains
    for pole in machine.nets.poles:
        if pole.source not in found.sources:
            continue
        if pole.source not in machine.parts or pole.sign not in ("+", "-", "~"):
            if mains is None or mains.earthing != "IT":
                return False
        elif machine.nets.bonds_at.get(machine.nets.of[pole.node]):
            return False
    return True


def _largest(operation: Operation, conductor: Conductor, kinds: tuple[str, ...] = ("DC", "AC")) -> tuple[float, str]:
    worst = (0.0, next(iter(operation.state_entries)))
    for state, point in operation.loaded.items():
        amps = hypot(*(abs(point.path_current(kind).get(conductor.id, 0.0)) for kind in kinds))
        worst = max(worst, (amps, state), key=lambda entry: entry[0])
    return worst


def leakage_of(part: Part) -> float | None:
    """Leakage current that a part sends into the protective conductor [A]; None where the plan gives none, or where
    what it lets through flows on through its load."""
    leakage: float | None = getattr(part.data, "leakage", None) if part.data.leaks_to_earth else None
    return leakage


def behind(machine: Machine, part: Part) -> tuple[Part, ...]:
    """The parts that the load side of a device feeds, through contacts and fuses."""
    return _parts_at(machine, nodes_behind(machine, part))


def nodes_behind(machine: Machine, part: Part) -> set[Node]:
    """The terminals of other parts that the load side of a device feeds, through contacts and fuses."""
    starts = [(part.name, pole.b) for pole in part.of(Pole)]
    return _fed_from(machine, starts, {(part.name, pole.a) for pole in part.of(Pole)})


def behind_inlet(machine: Machine) -> tuple[Part, ...]:
    """The parts that the mains feed, through contacts and fuses."""
    feeds = [(part.name, feed.terminal) for part, feed in machine.circuit.elements(Feed)]
    live = [feed for feed in feeds if not is_earth_point(machine.circuit, feed)]
    return _parts_at(machine, _fed_from(machine, live, set()))


def _fed_from(machine: Machine, starts: list[Node], blocked: set[Node]) -> set[Node]:
    reached = machine.circuit.walk(starts, lambda edge, far: far not in blocked and _passes(machine, edge))
    own = {name for name, _ in starts}
    return {node for node in reached if node[0] not in own}


def _parts_at(machine: Machine, nodes: set[Node]) -> tuple[Part, ...]:
    names = {name for name, _ in nodes}
    return tuple(machine.parts[name] for name in sorted(names) if name in machine.parts)


def _passes(machine: Machine, edge: Conductor | Inner) -> bool:
    if isinstance(edge, Conductor):
        ends = [is_earth_point(machine.circuit, end) for end in edge.ends]
        return edge.kind != "shield" and not any(ends)
    return isinstance(edge.element, Link | Pole | Switch)


def meets_at_one_metal(machine: Machine, bond: Conductor) -> bool:
    """Whether a source of the process is tied to the same piece of metal, so that its current stays in that metal."""
    circuit = machine.circuit
    earth_end = bond.a if bond.b == far_from_earth(circuit, bond) else bond.b
    part = machine.parts[earth_end[0]]
    if not isinstance(part.data, Metalwork):
        return False
    others = [c for t in part.terminals for c in circuit.conductors_at((part.name, t)) if c is not bond]
    ends = [end for c in others if c.kind != "shield" for end in c.ends]
    return any(pole.main for end in ends for pole in machine.nets.poles_at.get(machine.nets.of[end], ()))


def is_process(machine: Machine, found: EarthReturn) -> bool:
    """Whether a process source feeds the current."""
    parts = machine.parts
    return any(isinstance(parts[name].data, ProcessSource) for name in found.sources if name in parts)
