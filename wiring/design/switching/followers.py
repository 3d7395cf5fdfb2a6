"""What follows something that moves contacts: what is fed only while it is in, and what only while it is out.

It counts through relays and stop relays whose coils follow it, and through supplies. Ways are those of nets, so that a
contact leads only to what cannot be fed past it: what feeds the contact itself does not follow it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from functools import cached_property

from msgspec import Struct

from wiring.control.script import operators_of
from wiring.design.stop.hazards import run_inputs
from wiring.design.switching.reachable import Reachability, Stand
from wiring.parts.elements import Coil, Draw, Input, Resistance, Switch
from wiring.solver.assembly import Actuator

#: What moves a contact, or a source.
Mover = Actuator | str


class Taking(Struct, frozen=True):
    """Two terminals of a part at which it takes power, or is `told` to run; `moves` where it is a coil, `feeds` where a
    source of that part hangs on it."""

    part: str
    a: str
    b: str
    moves: str = ""
    feeds: bool = False
    told: bool = False


class Following(Struct, frozen=True, dict=True):
    """What follows what while some operators stand `worked` and the others at rest; what no hand at rest lets be fed is
    looked at with hands that are free."""

    reachability: Reachability
    worked: frozenset[Actuator] = frozenset()

    @cached_property
    def takings(self) -> tuple[Taking, ...]:
        """Everything of all parts that is fed by way of contacts."""
        return tuple(one for part in self.reachability.machine.parts for one in self._of(part))

    def _of(self, name: str) -> Iterator[Taking]:
        part = self.reachability.machine.parts[name]
        for element in part.elements:
            match element:
                case Coil():
                    yield Taking(name, element.a, element.b, moves=element.moves)
                case Input():
                    yield Taking(name, element.a, element.b, feeds=True)
                case Draw() if element.name != "logic":
                    yield Taking(name, element.a, element.b)
                case Resistance() if element.load:
                    yield Taking(name, element.a, element.b)
        yield from (Taking(name, a, b, told=True) for a, b in run_inputs(part))

    def needing(self, mover: Actuator) -> frozenset[Taking]:
        """What is fed only while it is in."""
        return self.dead_without((mover,))

    def dead_without(self, movers: Iterable[Actuator]) -> frozenset[Taking]:
        """What cannot be fed while all of some movers are out."""
        return self._lost(frozenset(), frozenset(movers))

    def barred_by(self, mover: Actuator) -> frozenset[Taking]:
        """What is fed only while it is out, all coils in that follow it."""
        with_it = {(one.part, one.moves) for one in self.needing(mover) if one.moves}
        return self._lost(frozenset((mover, *with_it)), frozenset())

    def _lost(self, held: frozenset[Actuator], out: frozenset[Actuator]) -> frozenset[Taking]:
        """What cannot be fed any more with some actuators held in or out."""
        gone: set[Mover] = {*held, *out}
        found: set[Taking] = set()
        while True:
            near = (one for one in self.takings if one not in found and self.near[one] & gone)
            new = {one for one in near if not self._is_fed(one, held, gone - held)}
            if not new:
                return frozenset(found)
            found |= new
            gone |= {(one.part, one.moves) for one in new if one.moves}
            gone |= {one.part for one in new if one.feeds}
            gone |= set(self._units_without(gone - held))

    def _units_without(self, out: Set[Mover]) -> Iterator[Actuator]:
        for own, (part, unit) in self.reachability.units.items():
            if any((part.name, name) in out for name in (unit.supply, *unit.channels)):
                yield own

    def _is_fed(self, one: Taking, held: frozenset[Actuator], out: Set[Mover]) -> bool:
        rest = self._at_rest[one]
        if rest is None:
            return True  # it is never fed, and follows nothing
        own = {(one.part, one.moves)} if one.moves else set()
        may = self.reachability.everything - rest - own - {mover for mover in out if isinstance(mover, tuple)}
        dead = frozenset(mover for mover in out if isinstance(mover, str))
        return self._joined(one, Stand(may, held=held | self.worked, dead=dead))

    def _joined(self, one: Taking, stand: Stand) -> bool:
        return self.reachability.joined((one.part, one.a), (one.part, one.b), stand)

    @cached_property
    def _at_rest(self) -> Mapping[Taking, frozenset[Actuator] | None]:
        """For everything that is fed the operators that stand at rest then: all of them, or else none is sure to."""
        hands = frozenset(one.actuator for one in operators_of(self.reachability.machine.circuit)) - self.worked
        everything = self.reachability.everything

        def rest(one: Taking) -> frozenset[Actuator] | None:
            stands = ((away, Stand(everything - away, held=self.worked)) for away in (hands, frozenset[Actuator]()))
            return next((away for away, stand in stands if self._joined(one, stand)), None)

        return {one: rest(one) for one in self.takings}

    @cached_property
    def near(self) -> Mapping[Taking, frozenset[Mover]]:
        """What moves the contacts between a taking and the first sources, and these sources."""
        return {one: frozenset(self._on_the_way(one)) for one in self.takings}

    def _on_the_way(self, one: Taking) -> Iterator[Mover]:
        nets = self.reachability.machine.nets
        for net in nets.spread([nets.of[one.part, one.a], nets.of[one.part, one.b]]):
            yield from (pole.source for pole in nets.poles_at.get(net, ()))
            for edge in () if nets.is_at_source(net) else nets.edges_at.get(net, ()):
                if isinstance(edge.element, Switch):
                    yield edge.part, edge.element.actuator
