"""Drives of which a source reaches the motor terminals from outside."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.drives import Drive
from wiring.parts.elements import Function, Link
from wiring.solver.lowering import is_closed


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
