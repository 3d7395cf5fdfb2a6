"""Parts that must never be on together, by the word of the plan, and whether the circuit keeps them apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from itertools import combinations, product

from msgspec import Struct

from wiring.circuit.axes import Axes
from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.design.operation import Operation
from wiring.design.stop.hazards import drives_of, is_live
from wiring.design.switching.coil_feeds import are_locked, can_be_fed, takers
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.loads import Valve
from wiring.parts.protection import Disconnector
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.solver.assembly import Actuator

#: Relays with break contacts that are tried in both positions; with more of them the pair is asked (own choice).
_MOST_MOVING = 8


class ExcludedPair(Struct, frozen=True):
    """Two parts that must not be on together. `together` says whether both can be fed at once, None where that is not
    known: a program alone tells one to run, or too many contacts lie in their way. `told` where a drive is told to."""

    first: str
    second: str
    together: bool | None
    told: bool = False


def excluded_pairs(machine: Machine) -> Iterator[ExcludedPair]:
    """Every pair that the plan names under `excludes`, each once."""
    said = {
        tuple(sorted((part.name, other)))
        for part in machine.parts.values()
        for other in part.data.excludes or ()
        if other in machine.parts and other != part.name
    }
    for first, second in sorted(said):
        pair = machine.parts[first], machine.parts[second]
        told = any(drives_of(part, machine.axes) for part in pair)
        yield ExcludedPair(first, second, can_be_on_together(machine, *pair), told)


def unsaid_valves(machine: Machine, operation: Operation) -> Iterator[tuple[str, str]]:
    """Valves that can be on together, are so in no state, not even with all outputs of programs on, and of which the
    plan does not say whether they may."""
    valves = [part for part in machine.parts.values() if isinstance(part.data, Valve) and part.data.excludes is None]
    for first, second in combinations(valves, 2):
        if any(is_live(first, Axes(), one) and is_live(second, Axes(), one) for one in operation.proved.values()):
            continue
        if can_be_on_together(machine, first, second) is not False:
            yield first.name, second.name


def can_be_on_together(machine: Machine, first: Part, second: Part) -> bool | None:
    """Whether two parts are fed at once in some position of all operators and programs that relays can rest in; None
    where too much lies in their way to tell, or a drive that no wire tells to run. A relay is attracted where its coil
    is fed."""
    if not (takers(machine, first) and takers(machine, second)):
        return None
    if are_locked(first, second):
        return False
    on = {(part.name, "coil") for part in (first, second) if isinstance(part.data, Coiled)}
    throws = _in_the_way(machine, (first, second))
    breaking = sorted(one for one, kinds in throws.items() if _has_two_sides(one, kinds) and one not in on)
    if len(breaking) > _MOST_MOVING:
        return None
    for stands in product((True, False), repeat=len(breaking)):
        at = dict(zip(breaking, stands, strict=True)) | dict.fromkeys(on, True)
        if _Positions(machine, (first, second), throws, at).exist(frozenset()):
            return True
    return False


def _has_two_sides(actuator: Actuator, kinds: Set[bool]) -> bool:
    """Whether to move something both opens and closes a way: a relay with a break contact, an operator with both."""
    return True in kinds if actuator[1] == "coil" else len(kinds) > 1


class _Positions(Struct, frozen=True):
    """Positions that feed two parts, where what has two sides stands `at` a given one. All else only closes ways when
    it is closed, so everything is closed at first, and opened where a relay that must rest is fed."""

    machine: Machine
    parts: tuple[Part, Part]
    throws: Mapping[Actuator, Set[bool]]
    at: Mapping[Actuator, bool]

    def exist(self, opened: frozenset[Actuator]) -> bool:
        """Whether there is one among those in which these are open."""
        opened = self._settled(opened)
        attracted = [one[0] for one, stand in self.at.items() if stand and one[1] == "coil"]
        needed = [*self.parts, *(self.machine.parts[name] for name in attracted)]
        if not all(self._fed(part, opened) for part in needed):
            return False
        rest = [one[0] for one, stand in self.at.items() if not stand and one[1] == "coil"]
        rest += [one[0] for one in opened if one[1] == "coil"]
        fed = next((name for name in sorted(rest) if self._fed(self.machine.parts[name], opened)), None)
        if fed is None:
            return True
        near = _near(self.machine, self.machine.parts[fed]).keys() - opened - self.at.keys()
        return any(self.exist(opened | {one}) for one in sorted(near))

    def _settled(self, opened: frozenset[Actuator]) -> frozenset[Actuator]:
        """The same with the relays open whose coils are not fed."""
        while True:
            others = (one for one in self.throws if one[1] == "coil" and one not in opened and one not in self.at)
            dead = {one for one in others if not self._fed(self.machine.parts[one[0]], opened)}
            if not dead:
                return opened
            opened |= dead

    def _fed(self, part: Part, opened: frozenset[Actuator]) -> bool:
        def closed(name: str, switch: Switch) -> bool:
            one = (name, switch.actuator)
            return self.at[one] != switch.closed_at_rest if one in self.at else one not in opened

        return can_be_fed(self.machine, part, closed)


def _in_the_way(machine: Machine, parts: tuple[Part, ...]) -> Mapping[Actuator, Set[bool]]:
    """What moves a contact in the way of some parts, or of the coils of the relays among it, each with whether that
    contact is closed at rest."""
    found: dict[Actuator, Set[bool]] = {}
    ahead = list(parts)
    while ahead:
        part = ahead.pop()
        for one, kinds in _near(machine, part).items():
            if one not in found and one[1] == "coil":
                ahead.append(machine.parts[one[0]])
            found[one] = found.get(one, set()) | kinds
    return found


def _near(machine: Machine, part: Part) -> Mapping[Actuator, Set[bool]]:
    """What moves the contacts between a part and the first poles of sources; a main switch and a stop relay are in."""
    met: dict[Actuator, Set[bool]] = {}

    def passes(edge: NetEdge) -> bool:
        switch = edge.element
        if isinstance(switch, Switch) and not isinstance(machine.parts[edge.part].data, SafetyRelay | Disconnector):
            one = (edge.part, switch.actuator)
            met[one] = met.get(one, set()) | {switch.closed_at_rest}
        return not machine.nets.is_at_source(edge.to)

    starts: list[Net] = [machine.nets.of[node] for pair in takers(machine, part) for node in pair]
    for _ in machine.nets.spread([net for net in starts if not machine.nets.is_at_source(net)], passes):
        pass
    return met
