"""Coils with a contact between them and the earthed side of their supply, whatever the contact is for."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Logic, Switch
from wiring.parts.protection import MotorProtector
from wiring.parts.signals import Sensor
from wiring.walks import walk, way_to


class EarthedSide(Struct, frozen=True):
    """A coil of `part` that returns to the earthed side through `contacts` (part, contact), the nearest first."""

    part: str
    contacts: tuple[tuple[str, str], ...]


def contacts_on_earthed_side(machine: Machine) -> Iterator[EarthedSide]:
    """Every coil with contacts on its earthed side that do not open its live side as well."""
    earthed = _earthed(machine)
    for part in machine.parts.values():
        if isinstance(part.data, Drive) or part.of(Logic):
            continue  # the inside of a unit, whose inputs have two poles by its maker's choice
        for coil in part.of(Coil):
            ends = [machine.nets.of[part.name, end] for end in (coil.a, coil.b) if (part.name, end) in machine.nets.of]
            if len(ends) == 2 and not earthed & set(ends):
                yield from _judged(machine, part, ends, earthed)


def _judged(machine: Machine, part: Part, ends: list[Net], earthed: set[Net]) -> Iterator[EarthedSide]:
    for here, there in (ends, ends[::-1]):
        back, feeding = _way(machine, here, earthed), tuple(machine.nets.spread((there,)))
        live = any(machine.nets.is_at_source(net) for net in feeding if net not in earthed)
        if not back or not live:
            continue
        both = {edge.part for net in feeding for edge in machine.nets.edges_at.get(net, ())}
        alone = [edge for edge in back if edge.part not in both and _counts(machine, edge)]
        if alone:
            yield EarthedSide(part.name, tuple((edge.part, _name(edge)) for edge in alone))
            return


def _name(edge: NetEdge) -> str:
    assert isinstance(edge.element, Switch)
    return edge.element.name


def _counts(machine: Machine, edge: NetEdge) -> bool:
    """Whether a contact may not stand there: outputs of programs and sensors may, and the contact of an overload relay
    (NFPA 79, 9.1.4, exception)."""
    switch, part = edge.element, machine.parts[edge.part]
    program = isinstance(switch, Switch) and switch.actuator.startswith("output ")
    return isinstance(switch, Switch) and not program and not isinstance(part.data, MotorProtector | Sensor)


def _earthed(machine: Machine) -> set[Net]:
    """The nets with a bond to earth, and the neutral of the mains where it is earthed."""
    mains = machine.plan.mains
    found = {net for net, bonds in machine.nets.bonds_at.items() if bonds}
    if mains is not None and mains.earthing != "IT":
        found |= {machine.nets.of[pole.node] for pole in machine.nets.poles if pole.sign == "N"}
    return found


def _way(machine: Machine, start: Net, goals: set[Net]) -> list[NetEdge]:
    """The contacts and resistances of the shortest way from a net to one of some; none where there is no way."""

    def onward(net: Net) -> Iterator[tuple[NetEdge, Net]]:
        at_source = machine.nets.is_at_source(net)
        return ((edge, edge.to) for edge in (() if at_source else machine.nets.edges_at.get(net, ())))

    return way_to(walk([start], onward, goals), goals)
