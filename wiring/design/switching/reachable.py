"""What can be picked up at all: coils and stop relays in the positions that the machine can reach from rest.

At rest every coil is out. Hands, cams, heat and programs may put their contacts anywhere; a coil can be in once
contacts that can be so together feed it. A contact never stands in two positions at once, and no coil counts as in
before something could feed it. What no position feeds stays out for ever.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property, partial
from itertools import product

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Input, Logic, Switch
from wiring.parts.heating import ThermalCutOut
from wiring.parts.operators import Selector
from wiring.parts.protection import MotorProtector
from wiring.parts.switching import Coiled
from wiring.solver.assembly import Actuator

#: Actuators that are tried in both positions; with more of them their contacts are taken as closed (own choice).
_MOST_TRIED = 8
#: A contact by its part and its marking.
Contact = tuple[str, str]


class Stand(Struct, frozen=True):
    """What may be in; `held` are in for certain and `out` for certain; `passed` counts as closed wherever it stands.
    Sources that are `dead` give nothing."""

    may: frozenset[Actuator]
    held: frozenset[Actuator] = frozenset()
    out: frozenset[Actuator] = frozenset()
    passed: Contact | None = None
    dead: frozenset[str] = frozenset()


class Never(Struct, frozen=True):
    """Something that has a circuit and can never be picked up: `by` are the contacts each of which alone bars it."""

    part: Part
    coil: Coil
    by: tuple[Contact, ...]


class Stalled(Struct, frozen=True):
    """A source that only contacts of `by` feed, whose coils wait for what hangs on it."""

    source: str
    by: tuple[str, ...]


class Reachability(Struct, frozen=True, dict=True):
    """Which coils and units of a machine can be in."""

    machine: Machine

    @cached_property
    def coils(self) -> Mapping[Actuator, tuple[Part, Coil]]:
        """Every coil by what it moves; inputs of stop relays and of safe torque off are coils too."""
        return {
            (part.name, coil.moves): (part, coil)
            for part, coil in self.machine.circuit.elements(Coil)
            if isinstance(coil, Coil)
        }

    @cached_property
    def units(self) -> Mapping[Actuator, tuple[Part, Logic]]:
        """Every stop relay by its outputs."""
        return {
            (part.name, unit.outputs): (part, unit)
            for part, unit in self.machine.circuit.elements(Logic)
            if isinstance(unit, Logic)
        }

    @cached_property
    def free(self) -> frozenset[Actuator]:
        """What a hand, a cam, heat or a program moves."""
        moved = {(part.name, s.actuator) for part, s in self.machine.circuit.elements(Switch) if isinstance(s, Switch)}
        return frozenset(moved - self.coils.keys() - self.units.keys())

    @property
    def everything(self) -> frozenset[Actuator]:
        """All that moves contacts."""
        return self.free | self.coils.keys() | self.units.keys()

    @cached_property
    def always(self) -> frozenset[Actuator]:
        """The relays and contactors that hang on two poles of a source by metal, and by contacts of what only a fault
        opens, so that nothing lets them go."""

        def leads(edge: NetEdge) -> bool:
            trips = isinstance(self.machine.parts[edge.part].data, MotorProtector | ThermalCutOut)
            return not isinstance(edge.element, Switch) or (trips and edge.element.closed_at_rest)

        return frozenset(
            own
            for own, (part, coil) in self.coils.items()
            if isinstance(part.data, Coiled) and self._reaches(part, coil, leads)
        )

    @cached_property
    def reached(self) -> frozenset[Actuator]:
        """All that can be in."""
        return self._grown(self.free)

    def reached_while(self, held: frozenset[Actuator]) -> frozenset[Actuator]:
        """All that can be in while some operators stand worked."""
        return self._grown(self.free, held=held)

    def _grown(
        self,
        start: frozenset[Actuator],
        out: frozenset[Actuator] = frozenset(),
        held: frozenset[Actuator] = frozenset(),
    ) -> frozenset[Actuator]:
        found, waiting = set(start), dict[Actuator, list[Actuator]]()
        asked: Iterable[Actuator] = self.coils
        held |= self.always - out
        while more := [one for one in self._next(frozenset(found), held, asked, waiting) if one not in out]:
            found.update(more)
            asked = dict.fromkeys(own for one in more for own in waiting.pop(one, ()))
        return frozenset(found)

    def _next(
        self,
        found: frozenset[Actuator],
        held: frozenset[Actuator],
        asked: Iterable[Actuator],
        waiting: dict[Actuator, list[Actuator]],
    ) -> Iterator[Actuator]:
        """What of some coils, and of all units, comes in with what was found; `waiting` come to be the others, by what
        opens a contact before them."""
        for own in asked:
            if own in found:
                continue
            part, coil = self.coils[own]
            stands = Stand(found, held, frozenset((own,)))
            if self.fed(part, coil, stands):
                yield own
            else:
                for one in self._barred(part, coil, stands):
                    waiting.setdefault(one, []).append(own)
        for own, (part, unit) in self.units.items():
            if own not in found and self._on(part, unit, found):
                yield own

    def _barred(self, part: Part, coil: Coil, stands: Stand) -> set[Actuator]:
        """What moves the contacts that are open around a coil."""
        nets, passes = self.machine.nets, partial(_closed, stands=stands, at={})
        around = nets.spread([nets.of[part.name, end] for end in (coil.a, coil.b)], passes)
        edges = (edge for net in around if not nets.is_at_source(net) for edge in nets.edges_at.get(net, ()))
        return {(e.part, e.element.actuator) for e in edges if isinstance(e.element, Switch) and not passes(e)}

    @staticmethod
    def _on(part: Part, unit: Logic, found: frozenset[Actuator]) -> bool:
        needed = {unit.supply, *unit.channels} | ({unit.reset} if unit.reset_mode != "automatic" else set())
        return {(part.name, name) for name in needed} <= found

    def staying(self, worked: Iterable[Actuator], programs_off: frozenset[Actuator]) -> frozenset[Actuator]:
        """What may stay in at once after some operators are worked while the machine runs; what opens late stays.

        Buttons that spring back are let go; `programs_off` are outputs that a program takes away.
        """
        springs = {one for one in self.free if self.machine.parts[one[0]].data.springs_back()}
        held = frozenset(worked)
        late = {own for own, (_, coil) in self.coils.items() if coil.off_delay_s > 0.0}
        late |= {own for own, (_, unit) in self.units.items() if unit.off_delay_s > 0.0}
        stays = self.everything - programs_off - (springs - held)
        while True:
            kept = {one for one in stays if one in self.free or one in late or self._stays(one, stays, held)}
            if kept == stays:
                return frozenset(stays)
            stays = frozenset(kept)

    def _stays(self, own: Actuator, stays: frozenset[Actuator], held: frozenset[Actuator]) -> bool:
        if own in self.units:
            part, unit = self.units[own]
            return {(part.name, name) for name in (unit.supply, *unit.channels)} <= stays
        part, coil = self.coils[own]
        return self.fed(part, coil, Stand(stays, held | {own}))

    @cached_property
    def restless(self) -> tuple[tuple[Part, tuple[str, ...]], ...]:
        """The parts whose coil only contacts of their own feed that open when it is in, each with these contacts."""
        found = []
        for own, (part, coil) in self.coils.items():
            if own not in self.reached or coil.on_delay_s or coil.off_delay_s:
                continue  # with a delay it is a pulse generator, and meant
            stands = Stand(self.reached, held=frozenset((own,)))
            if own in self._moving and not self.fed(part, coil, stands):
                by = tuple(s.name for s in part.of(Switch) if s.actuator == coil.moves and s.closed_at_rest)
                found.append((part, tuple(one for one in by if self._passes(part, coil, stands, (part.name, one)))))
        return tuple(found)

    @cached_property
    def _moving(self) -> frozenset[Actuator]:
        """The actuators that a break contact follows."""
        switches = self.machine.circuit.elements(Switch)
        return frozenset((part.name, s.actuator) for part, s in switches if isinstance(s, Switch) and s.closed_at_rest)

    @cached_property
    def never(self) -> tuple[Never, ...]:
        """What has a circuit and can never be in; what only waits for another of them is not among them."""
        elsewhere = {own for own in self.coils if own not in self.reached and not self._has_circuit(own)}
        reached, found = self._grown(self.reached | elsewhere), []  # other rules tell what has no circuit
        while barred := [own for own in self.coils if own not in reached]:
            others = {own: self._grown(reached | (frozenset(barred) - {own}), frozenset((own,))) for own in barred}
            roots = [own for own in barred if not self._fed(own, others[own])]
            # A ring, each of which waits for the next: it is told at the input of a stop relay, if there is one.
            roots = roots or [min(barred, key=lambda own: (own[1] != "reset", own))]
            for own in roots:
                part, coil = self.coils[own]
                found.append(Never(part, coil, tuple(self._barring(own, reached))))
            reached = self._grown(reached | frozenset(roots))
        return tuple(found)

    @cached_property
    def stalled(self) -> tuple[Stalled, ...]:
        """The sources that never come alive from rest, though something could feed them once coils are in."""
        entries = {
            part.name: part.of(Input)
            for part in self.machine.parts.values()
            if part.of(Input) and any(pole.source == part.name for pole in self.machine.nets.poles)
        }
        everything = Stand(self.everything)
        dead = {name for name in entries if self._enters(entries[name], name, everything)}
        found = set(self.free)
        while True:
            stands = Stand(frozenset(found), dead=frozenset(dead))
            more = {own for own, one in self.coils.items() if own not in found and self.fed(*one, stands)}
            more |= {own for own, one in self.units.items() if own not in found and self._on(*one, frozenset(found))}
            live = {name for name in dead if self._enters(entries[name], name, stands)}
            if not more and not live:
                break
            found |= more
            dead -= live
        waiting = {own for own in self.coils if own in self.reached and own not in found}
        by = {
            name: tuple(
                own[0]
                for own in sorted(waiting)
                if not self._enters(entries[name], name, Stand(self.everything - {own}, out=frozenset((own,))))
            )
            for name in sorted(dead)
        }
        return tuple(Stalled(name, parts) for name, parts in by.items() if parts)

    def _enters(self, entries: Sequence[Input], name: str, stands: Stand) -> bool:
        return any(self.joined((name, one.a), (name, one.b), stands) for one in entries)

    def _has_circuit(self, own: Actuator) -> bool:
        """Whether it is fed with every contact closed."""
        part, coil = self.coils[own]
        return self._reaches(part, coil, lambda _: True)

    def _fed(self, own: Actuator, may: frozenset[Actuator], passed: Contact | None = None) -> bool:
        part, coil = self.coils[own]
        return self.fed(part, coil, Stand(may, self.always - {own}, frozenset((own,)), passed))

    def _barring(self, own: Actuator, reached: frozenset[Actuator]) -> Iterator[Contact]:
        for part, switch in self.machine.circuit.elements(Switch):
            if isinstance(switch, Switch) and self._fed(own, reached, (part.name, switch.name)):
                yield part.name, switch.name

    def _passes(self, part: Part, coil: Coil, stands: Stand, contact: Contact) -> bool:
        return self.fed(part, coil, Stand(stands.may, stands.held, stands.out, contact))

    def fed(self, part: Part, element: Coil, stands: Stand) -> bool:
        """Whether an element reaches two poles of one source over contacts that can stand so together."""
        return self.joined((part.name, element.a), (part.name, element.b), stands)

    def joined(self, a: Net, b: Net, stands: Stand) -> bool:
        """Whether two nodes reach the two poles of one source over contacts that can stand so together."""
        around = self._around((a, b), partial(_closed, stands=stands, at={}))
        if not self._meet(around, stands.dead):
            return False
        tried = self._change_overs({net for some in around for net in some}, stands)
        if not tried or len(tried) > _MOST_TRIED:
            return True
        for stood in product((True, False), repeat=len(tried)):
            at = dict(zip(tried, stood, strict=True))
            if self._meet(self._around((a, b), partial(_closed, stands=stands, at=at)), stands.dead):
                return True
        return False

    def _reaches(self, part: Part, coil: Coil, passes: Callable[[NetEdge], bool]) -> bool:
        return self._meet(self._around(((part.name, coil.a), (part.name, coil.b)), passes))

    def _around(self, ends: tuple[Net, Net], passes: Callable[[NetEdge], bool]) -> tuple[list[Net], ...]:
        """The nets that each of two nodes reaches."""
        nets = self.machine.nets
        return tuple(list(nets.spread((nets.of[end],), passes)) for end in ends)

    def _meet(self, around: Iterable[Iterable[Net]], dead: frozenset[str] = frozenset()) -> bool:
        """Whether the two poles of one source stand on the nets around two nodes."""
        at = self.machine.nets.poles_at
        here, there = (
            {(pole.source, pole.node[1]) for net in some for pole in at.get(net, ()) if pole.source not in dead}
            for some in around
        )
        return any(one[0] == other[0] and one != other for one in here for other in there)

    def _change_overs(self, around: Iterable[Net], stands: Stand) -> list[Actuator]:
        """What has both a break and a make contact on some nets, and may stand either way."""
        kinds: dict[Actuator, set[bool]] = {}
        nets = self.machine.nets
        for net in around:
            for edge in () if nets.is_at_source(net) else nets.edges_at.get(net, ()):
                if isinstance(edge.element, Switch) and not isinstance(self.machine.parts[edge.part].data, Selector):
                    kinds.setdefault((edge.part, edge.element.actuator), set()).add(edge.element.closed_at_rest)
        sure = stands.held | stands.out
        return sorted(one for one, found in kinds.items() if len(found) == 2 and one in stands.may and one not in sure)


def _closed(edge: NetEdge, stands: Stand, at: Mapping[Actuator, bool]) -> bool:
    switch = edge.element
    if not isinstance(switch, Switch) or (edge.part, switch.name) == stands.passed:
        return True
    own = (edge.part, switch.actuator)
    if own in stands.held:
        return not switch.closed_at_rest
    if own in stands.out or own not in stands.may:
        return switch.closed_at_rest
    return own not in at or at[own] != switch.closed_at_rest
