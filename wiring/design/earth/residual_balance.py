"""Current that goes out through a residual current device and comes back past it: what it sees must add up to zero."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Feed, Input, Output, Pole, Resistance
from wiring.parts.protection import ResidualCurrentDevice
from wiring.walks import way_to


class PastDevice(Struct, frozen=True):
    """What passes a residual current device: `conductors` that join both of its sides, or those that lead the `loads`
    behind it back to the source."""

    device: str
    loads: tuple[str, ...]
    conductors: tuple[Conductor, ...]


def past_residual_devices(machine: Machine) -> Iterator[PastDevice]:
    """Every residual current device past which something is led, whatever the contacts do."""
    for part in machine.parts.values():
        if isinstance(part.data, ResidualCurrentDevice):
            yield from _past(machine, part)


def _past(machine: Machine, device: Part) -> Iterator[PastDevice]:
    poles = device.of(Pole)
    behind = _reached(machine, device, [(device.name, pole.b) for pole in poles])
    ahead = _reached(machine, device, [*_sources(machine), *((device.name, pole.a) for pole in poles)])
    meeting = [node for node in behind if node in ahead]
    if meeting:
        joins = {edge.id: edge for edge in (*way_to(behind, meeting[:1]), *way_to(ahead, meeting[:1]))}
        yield PastDevice(device.name, (), tuple(e for e in joins.values() if isinstance(e, Conductor)))
        return
    returns = dict(_returns(machine, behind, ahead))
    if returns:
        found = {wire.id: wire for node in returns.values() for wire in machine.circuit.conductors_at(node)}
        yield PastDevice(device.name, tuple(returns), tuple(found.values()))


def _returns(machine: Machine, behind: Iterable[Node], ahead: Iterable[Node]) -> Iterator[tuple[str, Node]]:
    """Loads with one end behind a device, and their other end, ahead of it."""
    for part, element in machine.circuit.elements(Draw, Coil, Input, Resistance):
        assert isinstance(element, Draw | Coil | Input | Resistance)
        a, b = (part.name, element.a), (part.name, element.b)
        for near, far in ((a, b), (b, a)):
            if near in behind and far in ahead:
                yield part.name, far


def _sources(machine: Machine) -> Iterator[Node]:
    for part, element in machine.circuit.elements(Feed, Output):
        if isinstance(element, Feed) and element.conductor != "PE":
            yield part.name, element.terminal
        elif isinstance(element, Output) and element.kind == "AC":
            yield part.name, element.plus
            yield part.name, element.minus


def _reached(machine: Machine, device: Part, starts: Iterable[Node]) -> dict[Node, tuple[Node, Edge] | None]:
    """What metal and contacts join to some nodes without the poles of a device; earth joins none."""
    known = [node for node in starts if node in machine.circuit.edges_at]
    return machine.circuit.walk(known, lambda edge, _: _joins(machine, device, edge))


def _joins(machine: Machine, device: Part, edge: Edge) -> bool:
    if isinstance(edge, Conductor):
        return edge.kind != "shield" and not any(is_earth_point(machine.circuit, end) for end in edge.ends)
    return edge.part != device.name
