"""What reaches the motor terminals of drives beside their motors: a source from outside, or a load that is no motor."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Function, Input, Link, Pole, Switch
from wiring.parts.incoming import Filter
from wiring.parts.loads import Heater
from wiring.parts.motors import Brake, BrakingResistor
from wiring.parts.passive import Suppressor
from wiring.parts.protection import SurgeArrester
from wiring.parts.sources import Capacitor
from wiring.solver.lowering import is_closed

#: What no motor is and no pulses bear: capacitance, or a resistance that is not made for the whole of the bus.
_STRAINED = (Capacitor, Filter, Suppressor, SurgeArrester, BrakingResistor, Heater)


class FedOutput(Struct, frozen=True):
    """A drive with a source on its motor terminals in some state, and the conductors that lead to these."""

    drive: str
    terminals: tuple[str, ...]
    source: str
    conductors: tuple[str, ...]
    volts: float


def fed_outputs(machine: Machine, operation: Operation) -> Iterator[FedOutput]:
    """Every drive whose motor terminals closed contacts of some state join to a pole of a source."""
    poles = {pole.node: pole for pole in machine.nets.poles if pole.main and pole.sign not in ("N", "-")}
    open_ = never_closed(operation)
    for part in machine.parts.values():
        if not isinstance(part.data, Drive):
            continue
        ends = [t.name for t in part.terminals.values() if t.function is Function.MOTOR]
        found = {end: hit for end in ends if (hit := joined_source(machine, (part.name, end), set(poles), open_))}
        if found:
            pole = poles[next(iter(found.values()))]
            wires = [wire.id for end in found for wire in machine.circuit.conductors_at((part.name, end))]
            yield FedOutput(part.name, tuple(found), pole.source, tuple(dict.fromkeys(wires)), pole.volts)


def loaded_outputs(machine: Machine) -> Iterator[tuple[str, str]]:
    """Every drive with each part on its motor conductors that does not bear them: capacitors, mains filters,
    suppressors, arresters, braking resistors, heaters, coils and the inputs of supplies. Brakes are judged as such, and
    what a source reaches too."""
    poles = {pole.node for pole in machine.nets.poles if pole.main}
    strained = {part.name: found for part in machine.parts.values() if (found := _strained(part))}
    for drive in machine.parts.values():
        if isinstance(drive.data, Drive):
            ends = [(drive.name, t.name) for t in drive.terminals.values() if t.function is Function.MOTOR]
            reached = machine.circuit.walk(ends, partial(_leads_on, machine))
            if not poles.isdisjoint(reached):
                continue
            names = {part for part, _ in reached} & strained.keys()
            hit = {name for name in names if not strained[name].isdisjoint(reached)}
            yield from ((drive.name, name) for name in machine.parts if name in hit)


def _leads_on(machine: Machine, edge: Edge, far: Node) -> bool:
    if isinstance(edge, Conductor):
        return edge.kind != "shield" and not is_earth_point(machine.circuit, far)
    return isinstance(edge.element, Link | Pole | Switch)


def _strained(part: Part) -> set[Node]:
    """The terminals of a part that do not bear the pulses of a drive; brakes and drives are judged as such."""
    if isinstance(part.data, Drive | Brake):
        return set()
    if isinstance(part.data, _STRAINED):
        return {(part.name, t.name) for t in part.terminals.values() if t.function is not Function.PE}
    return {(part.name, end) for element in part.of(Coil, Input) for end in (element.a, element.b)}


def never_closed(operation: Operation) -> frozenset[str]:
    """The contacts that no state closes."""
    closed: set[str] = set()
    every: set[str] = set()
    for point in operation.states.values():
        for edge in point.lowered.edges:
            every.add(edge.id)
            if is_closed(edge, point.position.moved, point.position.opened):
                closed.add(edge.id)
    return frozenset(every - closed)


def joined_source(machine: Machine, start: Node, poles: set[Node], open_: frozenset[str]) -> Node | None:
    """The source pole that conductors, links, poles and contacts closed in some state join to a terminal."""

    def leads(edge: Edge, far: Node) -> bool:
        if is_earth_point(machine.circuit, far):
            return False
        if isinstance(edge, Conductor):
            return True
        return edge.id not in open_ and (not isinstance(edge.element, Link) or not edge.element.ohm)

    came = machine.circuit.walk([start], leads, poles)
    return next((node for node in came if node in poles), None)
