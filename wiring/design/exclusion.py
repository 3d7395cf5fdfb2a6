"""Parts that must never be on together, by the word of the plan, and whether the circuit keeps them apart."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product

from msgspec import Struct

from wiring.design.coil_feeds import are_locked, can_be_fed, takers
from wiring.design.hazards import drives_of, is_live
from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.loads import Valve
from wiring.parts.protection import Disconnector
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.solver.assembly import Actuator

#: Relays, operators and outputs that are tried in both positions; with more of them the pair is asked (own choice).
_MOST_MOVING = 10


class ExcludedPair(Struct, frozen=True):
    """Two parts that must not be on together. `together` says whether both can be fed at once, None where that is not
    known: they follow a drive, or too many contacts lie in their way."""

    first: str
    second: str
    together: bool | None


def excluded_pairs(machine: Machine) -> Iterator[ExcludedPair]:
    """Every pair that the plan names under `excludes`, each once."""
    said = {
        tuple(sorted((part.name, other)))
        for part in machine.parts.values()
        for other in part.data.excludes or ()
        if other in machine.parts and other != part.name
    }
    for first, second in sorted(said):
        yield ExcludedPair(first, second, can_be_on_together(machine, machine.parts[first], machine.parts[second]))


def unsaid_valves(machine: Machine, operation: Operation) -> Iterator[tuple[str, str]]:
    """Valves that can be on together, are so in no state, and of which the plan does not say whether they may."""
    valves = [part for part in machine.parts.values() if isinstance(part.data, Valve) and part.data.excludes is None]
    for first, second in combinations(valves, 2):
        if any(is_live(first, {}, one) and is_live(second, {}, one) for one in operation.states.values()):
            continue
        if can_be_on_together(machine, first, second) is not False:
            yield first.name, second.name


def can_be_on_together(machine: Machine, first: Part, second: Part) -> bool | None:
    """Whether two parts are fed at once in some position of all operators and programs that relays can rest in; None
    where too much lies in their way to tell, or a drive does. A relay is attracted where its coil is fed."""
    if any(drives_of(part, machine.axes) or not takers(part) for part in (first, second)):
        return None
    if are_locked(first, second):
        return False
    on = {(part.name, "coil"): True for part in (first, second) if isinstance(part.data, Coiled)}
    moving = sorted(_in_the_way(machine, (first, second)) - on.keys())
    if len(moving) > _MOST_MOVING:
        return None
    for stands in product((True, False), repeat=len(moving)):
        at = dict(zip(moving, stands, strict=True)) | on

        def closed(part: str, switch: Switch, at: dict[Actuator, bool] = at) -> bool:
            moved = at.get((part, switch.actuator))
            return moved is None or moved != switch.closed_at_rest

        relays = ((machine.parts[name], stand) for (name, actuator), stand in at.items() if actuator == "coil")
        fed = all(can_be_fed(machine, part, closed) for part in (first, second))
        if fed and all(can_be_fed(machine, part, closed) is stand for part, stand in relays):
            return True
    return False


def _in_the_way(machine: Machine, parts: tuple[Part, ...]) -> set[Actuator]:
    """What moves a contact in the way of some parts, or of the coils of the relays among it."""
    found: set[Actuator] = set()
    ahead = list(parts)
    while ahead:
        part = ahead.pop()
        for one in _near(machine, part) - found:
            found.add(one)
            if one[1] == "coil":
                ahead.append(machine.parts[one[0]])
    return found


def _near(machine: Machine, part: Part) -> set[Actuator]:
    """What moves the contacts between a part and the first poles of sources; a main switch and a stop relay are in."""
    met: set[Actuator] = set()

    def passes(edge: NetEdge) -> bool:
        if isinstance(edge.element, Switch) and not isinstance(
            machine.parts[edge.part].data, SafetyRelay | Disconnector
        ):
            met.add((edge.part, edge.element.actuator))
        return not machine.nets.is_at_source(edge.to)

    starts: list[Net] = [machine.nets.of[part.name, end] for one in takers(part) for end in (one.a, one.b)]
    for _ in machine.nets.spread([net for net in starts if not machine.nets.is_at_source(net)], passes):
        pass
    return met
