"""Taps: short thinner conductors to a smaller device, which guards them against overload from their far end.

A device sits where the conductor begins. It may sit at the end of a short one that is laid so that a short circuit is
hardly possible, for then nothing but what passes the device can load it (IEC 60204-1, 7.2.8; IEC 60364-4-43, 433.2.2;
NFPA 79, 7.2.8; NFPA 70, 240.21(B) and 430.28). The length counts from where the conductors become as thin as this.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.design.conductor.overload_protection import carries
from wiring.design.conductor.place import is_outside
from wiring.design.fault.paths import FaultPaths
from wiring.design.machine import Machine
from wiring.parts.elements import Pole
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled

#: Length up to which a conductor may run to the device that protects it [m].
TAP_LENGTH_M = tabled("iec", "tap_without_ocpd_length_max").value
#: The lengths of taps by rulebook, the longer one for those of a large share of the rating in front of it.
_LENGTHS = {
    "iec": (tabled("iec", "tap_without_ocpd_length_max"),),
    "na": (tabled("na", "tap_length_max"), tabled("na", "longer_tap_length_max")),
}
_LONGER_SHARE = tabled("na", "longer_tap_share").value
#: The share of that rating below which a tap may not leave the cabinet.
_OUTSIDE_SHARE = tabled("na", "tap_outside_share").value
_LAID_APART = ("duct", "conduit")


class Tap(Struct, frozen=True):
    """A conductor of which all current passes the `devices` at its far ends, `rating_a` together.

    `length_m` is the longest way from where the conductors become as thin as this one to one of them, infinite where a
    length on it is not given. `enclosed` says that the way lies in the cabinet, in a duct or in a conduit, `outside`
    that it leaves the cabinet.
    """

    devices: tuple[str, ...]
    rating_a: float
    length_m: float
    enclosed: bool
    outside: bool

    def allows(self, book: str, upstream_a: float, ampacity: Limit) -> bool:
        """Whether it may be as thin as its ampacity behind a device of `upstream_a`."""
        bears_a = ampacity.value * (1 + 1e-9)
        if not self.enclosed or self.rating_a > bears_a:
            return False
        within = [self.length_m <= most.value * (1 + 1e-9) for most in _LENGTHS[book]]
        if book != "na":
            return within[0]
        short, longer = within[0], within[1] and len(self.devices) == 1
        share = bears_a / upstream_a
        return (short and (share >= _OUTSIDE_SHARE or not self.outside)) or (longer and share >= _LONGER_SHARE)

    def longest(self, book: str) -> Limit:
        """The length that it keeps within; the longest that the book has where it is longer still."""
        return next((step for step in _LENGTHS[book] if self.length_m <= step.value * (1 + 1e-9)), _LENGTHS[book][-1])


def tap(machine: Machine, paths: FaultPaths, ratings: Mapping[str, float], conductor: Conductor) -> Tap | None:
    """The tap that a conductor is part of; None where it feeds something that no device stands in front of.

    `ratings` are the rated currents of the protective devices by name [A].
    """
    hot = paths.hot
    if conductor.a not in hot or conductor.b not in hot or conductor.size is None:
        return None
    near, far = conductor.ends if hot[conductor.a].ohm <= hot[conductor.b].ohm else conductor.ends[::-1]
    ahead = _ahead(machine, ratings, conductor, near, far)
    if ahead is None or not ahead.devices or ahead.devices & set(hot[near].devices):
        return None
    behind = list(_behind(paths, near, conductor.size.area_mm2))
    ways = [*behind, conductor, *ahead.conductors]
    total = sum(map(_length, behind)) + _length(conductor) + ahead.length_m
    rating = sum(ratings[name] for name in ahead.devices)
    enclosed = all(_is_enclosed(machine, one) for one in ways)
    return Tap(tuple(sorted(ahead.devices)), rating, total, enclosed, any(is_outside(machine, one) for one in ways))


class _Ahead(Struct, frozen=True):
    devices: set[str]
    conductors: tuple[Conductor, ...]
    length_m: float


def _ahead(machine: Machine, ratings: Mapping[str, float], first: Conductor, near: Node, far: Node) -> _Ahead | None:
    """What a walk from the far end of a conductor meets up to devices; None where it meets a load or a way back."""
    devices: set[str] = set()
    passed: list[Conductor] = []
    metres = {far: 0.0}
    queue, longest = [far], 0.0
    while queue:
        node = queue.pop()
        if node == near or node in machine.load_and_source_nodes:
            return None
        for edge, other in _onward(machine, node, first):
            if isinstance(edge, Inner) and isinstance(edge.element, Pole) and edge.part in ratings:
                devices.add(edge.part)
                longest = max(longest, metres[node])
            elif other == near:
                return None
            elif other not in metres:
                metres[other] = metres[node] + (_length(edge) if isinstance(edge, Conductor) else 0.0)
                queue.append(other)
                passed += [edge] if isinstance(edge, Conductor) else []
    return _Ahead(devices, tuple(passed), longest)


def _onward(machine: Machine, node: Node, first: Conductor) -> Iterator[tuple[Edge, Node]]:
    for edge in machine.circuit.edges_at[node]:
        if edge.id != first.id and not (isinstance(edge, Conductor) and not carries(machine, edge)):
            yield edge, edge.other(node)


def _behind(paths: FaultPaths, near: Node, area_mm2: float) -> Iterator[Conductor]:
    """The conductors on the way back to the source that are no thicker, up to a protective device."""
    here = paths.hot[near]
    while here.back is not None and here.before is not None:
        if isinstance(here.back, Conductor):
            if here.back.size is None or here.back.size.area_mm2 > area_mm2 * (1 + 1e-9):
                return
            yield here.back
        elif isinstance(here.back.element, Pole):
            return
        here = paths.hot[here.before]


def _length(conductor: Conductor) -> float:
    return inf if conductor.length_m is None else conductor.length_m


def _is_enclosed(machine: Machine, conductor: Conductor) -> bool:
    route = machine.plan.routes.get(conductor.route or "")
    return not is_outside(machine, conductor) or (route is not None and route.kind in _LAID_APART)
