"""Conductors that lead past contacts which a stop opens, one or several in a row: found from rings of such contacts."""

from __future__ import annotations

from collections.abc import Collection

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.design.stop.stops import StopEffect
from wiring.disjoint_sets import joined
from wiring.parts.elements import Switch
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint
from wiring.walks import way_to


class PastContacts(Struct, frozen=True):
    """A conductor that joins the two ends of a row of contacts, by their ids."""

    conductor: str
    contacts: tuple[str, ...]


def past_contacts(
    machine: Machine, running: OperatingPoint, effects: Collection[StopEffect]
) -> tuple[PastContacts, ...]:
    """Every conductor past contacts of contactors, relays and stop relays that some stop device opens."""
    position = running.position
    closed = {e.id for e in running.lowered.edges if is_closed(e, position.moved, position.opened)}
    opened = {
        edge.id
        for effect in effects
        for edge in effect.point.lowered.edges
        if edge.id in closed and not is_closed(edge, effect.point.position.moved, effect.point.position.opened)
    }
    counted = {path.id: path for path in machine.circuit.inner if path.id in opened and _counts(machine, path)}
    rings = _rings(machine, counted)
    found = {}
    for wire in machine.circuit.conductors if rings else ():
        if wire.kind != "shield" and machine.nets.of[wire.a] in rings:
            row = _way(machine, wire, counted.keys())
            apart = len({name.partition(":")[0] for name in row}) == len(row)  # else outputs of one part, side by side
            if row and apart and _feeds_past(machine, wire, closed - set(row)):
                found[wire.id] = PastContacts(wire.id, row)
    return tuple(found.values())


def _counts(machine: Machine, path: Inner) -> bool:
    return isinstance(path.element, Switch) and isinstance(machine.parts[path.part].data, Coiled | SafetyRelay)


def _rings(machine: Machine, counted: dict[str, Inner]) -> set[Node]:
    """The nets on rings of the contacts: none in a circuit where every contact keeps something apart."""
    of = machine.nets.of
    ways = [(of[path.a], of[path.b]) for path in counted.values()]
    nets = dict.fromkeys(net for way in ways for net in way)
    first = joined(nets, ways)
    sizes: dict[Node, list[int]] = {}
    for net in nets:
        sizes.setdefault(first[net], [0, 0])[0] += 1
    for a, _ in ways:
        sizes[first[a]][1] += 1
    return {net for net in nets if sizes[first[net]][1] >= sizes[first[net]][0]}


def _walked(
    machine: Machine, wire: Conductor, start: Node, closed: Collection[str], until: Collection[Node]
) -> dict[Node, tuple[Node, Edge] | None]:
    """What metal and these contacts lead to from a point, without a conductor, screens and the earth."""

    def leads(edge: Edge, far: Node) -> bool:
        shut = not isinstance(edge, Inner) or not isinstance(edge.element, Switch) or edge.id in closed
        bond = getattr(edge, "kind", "") == "shield" or is_earth_point(machine.circuit, far)
        return shut and not bond and edge.id != wire.id

    return machine.circuit.walk([start], leads, until)


def _way(machine: Machine, wire: Conductor, contacts: Collection[str]) -> tuple[str, ...]:
    """The contacts on the shortest way between the ends of a conductor without it, over metal and these contacts."""
    way = way_to(_walked(machine, wire, wire.a, contacts, {wire.b}), {wire.b})
    return tuple(edge.id for edge in way if isinstance(edge, Inner) and isinstance(edge.element, Switch))


def _feeds_past(machine: Machine, wire: Conductor, closed: Collection[str]) -> bool:
    """Whether, with its row of contacts open, a source reaches one end of a conductor and not the other without it."""
    poles = {pole.node for pole in machine.nets.poles if pole.main and pole.sign not in ("N", "-")}
    return _is_live(machine, wire, wire.a, poles, closed) != _is_live(machine, wire, wire.b, poles, closed)


def _is_live(machine: Machine, wire: Conductor, end: Node, poles: set[Node], closed: Collection[str]) -> bool:
    return not poles.isdisjoint(_walked(machine, wire, end, closed, poles))
