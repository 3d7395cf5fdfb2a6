"""The protective earth of a machine: what it reaches, what hangs on one conductor of it, what returns through it."""

from __future__ import annotations

from collections.abc import Set
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Conductor, Node
from wiring.design.earth.protective_network import EarthReturn, earth_inlets, earth_returns, protective_conductors
from wiring.design.earth.protective_reach import joined_earth
from wiring.design.earth.switched_earth import SwitchedEarth, switched_earth
from wiring.design.machine import Machine
from wiring.design.operation import Operation


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
