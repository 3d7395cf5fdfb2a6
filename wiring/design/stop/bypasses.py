"""Contacts that stop or limit something and that a conductor, or a contact beside them, makes useless."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge
from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.heating import ThermalCutOut
from wiring.parts.operators import Guarding, HandOperated, LimitSwitch
from wiring.parts.signals import Sensor
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.walks import walk, way_to


class Bypass(Struct, frozen=True):
    """A contact whose ends stay joined when it opens: by `conductors` alone, or through contacts of `parts`."""

    part: str
    contact: str
    conductors: tuple[str, ...]
    parts: tuple[str, ...]


def bypasses(machine: Machine) -> tuple[Bypass, ...]:
    """The bypassed contacts of stop devices, guards, limits, cut-outs, stop relays and contactors, by their parts."""
    stops = {device for stop in machine.plan.stops.values() for device in stop.devices}
    found: list[Bypass] = []
    for part in machine.parts.values():
        for switch in _counted(part, part.name in stops, part.name in machine.circuit.hold_to_run):
            ends = (part.name, switch.a), (part.name, switch.b)
            if set(ends) <= machine.nets.joined:
                found += _bypass(machine, part.name, switch)
    return tuple(found)


def _counted(part: Part, is_stop: bool, is_held: bool) -> Iterator[Switch]:
    """The contacts of a part on which safety rests: those that open when it is worked, or when it lets go or is let go:
    outputs of a stop relay, poles of contactors and relays, contacts of a hold-to-run device."""
    guarding = is_stop or isinstance(part.data, Guarding | ThermalCutOut) or _is_limit(part)
    guarding = guarding and not is_held
    letting_go = is_held or isinstance(part.data, SafetyRelay | Coiled)
    return (s for s in part.of(Switch) if (guarding if s.closed_at_rest else letting_go))


def _is_limit(part: Part) -> bool:
    if isinstance(part.data, LimitSwitch):
        return True
    return isinstance(part.data, Sensor) and part.data.purpose in ("limit", "over-travel")


def _bypass(machine: Machine, part: str, switch: Switch) -> Iterator[Bypass]:
    start, goal = machine.nets.of[part, switch.a], machine.nets.of[part, switch.b]
    if start == goal:
        yield Bypass(part, switch.name, _between(machine, part, switch), ())
    elif switch.closed_at_rest:
        parts = _beside(machine, part, start, goal)
        if parts:
            yield Bypass(part, switch.name, (), parts)


def _between(machine: Machine, part: str, switch: Switch) -> tuple[str, ...]:
    """The fewest conductors that lead from one end of a contact to the other past its part."""
    start, goal = (part, switch.a), (part, switch.b)

    def leads(edge: Edge, _: object) -> bool:
        return isinstance(edge, Conductor) or not isinstance(edge.element, Switch)

    way = way_to(machine.circuit.walk([start], leads, {goal}), {goal})
    return tuple(edge.id for edge in way if isinstance(edge, Conductor))


def _beside(machine: Machine, part: str, start: Net, goal: Net) -> tuple[str, ...]:
    """The parts whose contacts, closed at rest, join two nets past a part; empty when nothing does."""

    def onward(net: Net) -> Iterator[tuple[str, Net]]:
        for edge in machine.nets.edges_at.get(net, ()):
            if isinstance(edge.element, Switch) and edge.element.closed_at_rest and edge.part != part:
                yield edge.part, edge.to

    return tuple(dict.fromkeys(way_to(walk([start], onward, {goal}), {goal})))


class LeftBridge(Struct, frozen=True):
    """An operator that stays where it is put and then joins the ends of `contacts` of a stop device."""

    device: str
    operator: str
    contacts: tuple[str, ...]
    every: bool


def left_bridges(machine: Machine) -> Iterator[LeftBridge]:
    """The operators past a stop device with no contact in their way that a hand must hold; `every`: past all of its
    contacts that break."""
    devices = dict.fromkeys(name for stop in machine.plan.stops.values() for name in stop.devices)
    for name in devices:
        part = machine.parts.get(name)
        breaks = [s for s in part.of(Switch) if s.closed_at_rest and _is_wired(machine, name, s)] if part else []
        for other in machine.parts.values() if breaks else ():
            stays = isinstance(other.data, HandOperated) and not other.data.springs_back()
            if stays and other.name not in devices:
                bridged = tuple(s.name for s in breaks if _joins(machine, (name, s), other.name))
                if bridged:
                    yield LeftBridge(name, other.name, bridged, len(bridged) == len(breaks))


def _is_wired(machine: Machine, name: str, switch: Switch) -> bool:
    return {(name, switch.a), (name, switch.b)} <= machine.nets.joined


def _joins(machine: Machine, contact: tuple[str, Switch], operator: str) -> bool:
    """Whether contacts of an operator that are open at rest, and nothing else, join the ends of one of a device."""
    name, switch = contact
    ends = [machine.nets.of[name, end] for end in (switch.a, switch.b)]

    def passes(edge: NetEdge) -> bool:
        return edge.part == operator and isinstance(edge.element, Switch) and not edge.element.closed_at_rest

    return ends[0] != ends[1] and any(
        edge.to == ends[1] for edge in machine.nets.edges_at.get(ends[0], ()) if passes(edge)
    )
