"""The protective earth of a machine: what it reaches, what hangs on one conductor or one contact of it, what returns
through it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import Role, is_earth_point
from wiring.design.earth.protective_network import (
    EarthReturn,
    SourceReturn,
    StrayReturn,
    earth_inlets,
    earth_returns,
    protective_conductors,
    source_returns,
    stray_returns,
)
from wiring.design.machine import Machine
from wiring.design.nets import far_from_earth
from wiring.design.operation import Operation
from wiring.parts.elements import Link, Pole, Switch


def joined_earth(machine: Machine, starts: Iterable[Node], closed: Iterable[Inner] = ()) -> set[Node]:
    """The earth points that conductors and links join to `starts`, and through contacts and poles taken as `closed`."""
    passed = set(closed)
    open_metal = {machine.nets.bare[end] for edge in passed for end in (edge.a, edge.b)}

    def leads(edge: Edge, far: Node) -> bool:
        earth = is_earth_point(machine.circuit, far) or machine.nets.bare[far] in open_metal
        return earth and (_is_solid(edge) or edge in passed)

    return set(machine.circuit.walk(starts, leads))


def _is_solid(edge: Conductor | Inner) -> bool:
    return edge.kind != "shield" if isinstance(edge, Conductor) else isinstance(edge.element, Link)


class SwitchedEarth(Struct, frozen=True):
    """`edges` are the contacts and poles, each with the conductor that leads the earth there; `behind` the earth points
    that reach the incoming protective conductor through one of them only."""

    edges: tuple[tuple[Inner, Conductor], ...]
    behind: Set[Node]


def switched_earth(machine: Machine, inlets: tuple[Node, ...], reached: Set[Node]) -> SwitchedEarth:
    """The protective earth as far as contacts and poles stand in its way; `reached` is what it reaches past them."""
    edges = tuple(_switched(machine))
    passed = joined_earth(machine, inlets, [edge for edge, _ in edges]) if edges else frozenset()
    return SwitchedEarth(edges, passed - reached)


def _switched(machine: Machine) -> Iterator[tuple[Inner, Conductor]]:
    """The contacts and poles between the earth and what it should hold, each with the conductor that leads there."""
    for edge in machine.circuit.inner:
        if not isinstance(edge.element, Switch | Pole):
            continue
        bonds = {end: _bonds(machine, end) for end in (edge.a, edge.b)}
        near = next((end for end in (edge.a, edge.b) if bonds[end]), None)
        if near is not None:
            far = edge.b if near == edge.a else edge.a
            if bonds[far] or _holds_a_rail(machine, far):
                yield edge, bonds[near][0]


def _bonds(machine: Machine, end: Node) -> tuple[Conductor, ...]:
    """The conductors that tie a piece of metal to the earth; bonds of the neutral are told by a rule of their own."""
    if not _is_bare(machine, end):
        return ()
    bonds = machine.nets.bonds_at.get(machine.nets.of[end], ())
    rails = machine.roles.rails
    return tuple(
        bond
        for bond in bonds
        if not any(rail.role is Role.NEUTRAL for rail in rails.get(far_from_earth(machine.circuit, bond), ()))
    )


def _is_bare(machine: Machine, end: tuple[str, str]) -> bool:
    """No source stands on this side: it is a piece of the earth and no earthed rail."""
    return not machine.nets.poles_at.get(machine.nets.of[end])


def _holds_a_rail(machine: Machine, end: tuple[str, str]) -> bool:
    poles = machine.nets.poles_at.get(machine.nets.of[end], ())
    return any(pole.main and pole.sign in ("-", "+", "~") for pole in poles)


class Earthing(Struct, frozen=True, dict=True):
    """The protective conductors of a machine as one network."""

    machine: Machine
    operation: Operation

    @cached_property
    def inlets(self) -> tuple[Node, ...]:
        """The points at which the incoming protective conductor arrives."""
        return earth_inlets(self.machine)

    @cached_property
    def conductors(self) -> tuple[Conductor, ...]:
        """The conductors between two protective earth points."""
        return protective_conductors(self.machine)

    @cached_property
    def reached(self) -> Set[Node]:
        """The points that reach the incoming protective conductor."""
        return joined_earth(self.machine, self.inlets)

    @cached_property
    def switched(self) -> SwitchedEarth:
        """Contacts and poles in the way of the protective earth, and what reaches it through them alone."""
        return switched_earth(self.machine, self.inlets, self.reached)

    @cached_property
    def returns(self) -> tuple[EarthReturn, ...]:
        """Loads whose only way back to their source is the protective earth, by the conductor that leads into it."""
        return tuple(earth_returns(self.machine, self.operation))

    @cached_property
    def stray_returns(self) -> tuple[StrayReturn, ...]:
        """Loads on a line of the mains that return to the earthed rail of another source."""
        return tuple(one for one in stray_returns(self.machine, self.operation) if one.amps > 0.0)

    @cached_property
    def source_returns(self) -> tuple[SourceReturn, ...]:
        """Sources whose current comes back to them through the protective earth."""
        by_loads = {found.bond.id for found in self.returns}
        found = source_returns(self.machine, self.operation)
        return tuple(one for one in found if by_loads.isdisjoint(bond.id for bond in (one.bond, *one.others)))
