"""Whether a coil can be fed while some contacts stand as said, and contactors that must not be closed together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import product

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.circuit.reversing import parallel_pairs, reversals
from wiring.design.machine import Machine
from wiring.design.nets import Net
from wiring.design.stop.hazards import drives_of, run_inputs
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance, Switch
from wiring.parts.motors import Shaft
from wiring.parts.switching import Coiled
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint

#: Whether a contact of a part is closed.
Closed = Callable[[str, Switch], bool]
#: Change-over contacts that are tried in both positions; with more of them an interlock is taken as there (own choice).
_MOST_CHANGE_OVERS = 8


class _Unlocked(Struct, frozen=True):
    """Two contactors that together short lines, of which `second` can be fed while `first` is in."""

    first: str
    second: str


def unlocked(machine: Machine) -> tuple[_Unlocked, ...]:
    """Every pair that shorts lines, each way round, without a mechanical lock and without a break contact of the one in
    the way of the other."""
    return tuple(
        _Unlocked(first, second)
        for pair in reversals(machine.circuit)
        for first, second in ((pair.first, pair.second), (pair.second, pair.first))
        if not are_locked(machine.parts[first], machine.parts[second])
        and _both_fed(machine, machine.parts[first], machine.parts[second])
    )


def are_locked(first: Part, second: Part) -> bool:
    """Whether a mechanical lock keeps one of two contactors open while the other one is in."""
    pairs = ((first, second), (second, first))
    return any(isinstance(one.data, Coiled) and one.data.interlock == other.name for one, other in pairs)


def one_way(machine: Machine, points: Iterable[OperatingPoint]) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """Pairs of contactors that feed the same motors in the same order of phases, each with these motors.

    Two that are in together at one of the `points` are meant to lie in parallel, and turn nothing round.
    """
    found = []
    together = [{name for name, _ in point.attracted} for point in points]
    for first, second, ways in parallel_pairs(machine.circuit):
        if any({first, second} <= names for names in together):
            continue
        nets = {machine.nets.of[node] for way in ways for node in way}
        motors = tuple(
            part.name
            for part in machine.parts.values()
            if isinstance(part.data, Shaft)
            and sum(machine.nets.of[part.name, end] in nets for end in part.terminals) > 1
        )
        if motors:
            found.append((first, second, motors))
    return tuple(found)


def turned_round(machine: Machine) -> frozenset[str]:
    """The motors that two contactors turn one way and the other."""
    found: set[str] = set()
    for pair in reversals(machine.circuit):
        nets = [
            {machine.nets.of[name, end] for switch in machine.parts[name].of(Switch) for end in (switch.a, switch.b)}
            for name in (pair.first, pair.second)
        ]
        for part in machine.parts.values():
            ends = (
                {machine.nets.of[part.name, end] for end in part.terminals} if isinstance(part.data, Shaft) else set()
            )
            if all(len(ends & own) > 1 for own in nets):
                found.add(part.name)
    return frozenset(found)


def _both_fed(machine: Machine, first: Part, second: Part) -> bool:
    """Whether both coils can be fed while the first is attracted, in some position of what has two throws."""
    throws = _change_overs(machine, {first.name, second.name})
    if len(throws) > _MOST_CHANGE_OVERS:
        return False
    for stands in product((False, True), repeat=len(throws)):
        at = dict(zip(throws, stands, strict=True))

        def closed(part: str, switch: Switch, at: dict[Actuator, bool] = at) -> bool:
            if part == first.name:
                return not switch.closed_at_rest
            moved = at.get((part, switch.actuator))
            return moved is None or moved != switch.closed_at_rest

        if all(can_be_fed(machine, part, closed) for part in (first, second)):
            return True
    return False


def _change_overs(machine: Machine, without: set[str]) -> list[Actuator]:
    """What moves break and make contacts at once, and both are wired."""
    kinds: dict[Actuator, set[bool]] = {}
    for part, switch in machine.circuit.elements(Switch):
        wired = {(part.name, switch.a), (part.name, switch.b)} <= machine.nets.joined
        if part.name not in without and wired and isinstance(switch, Switch):
            kinds.setdefault((part.name, switch.actuator), set()).add(switch.closed_at_rest)
    return [actuator for actuator, found in kinds.items() if len(found) == 2]


def can_be_fed(machine: Machine, part: Part, closed: Closed) -> bool:
    """Whether the coil of a part, or else its load, reaches two poles of one source over closed contacts."""
    for taking in takers(machine, part):
        ends = [frozenset(_sources(machine, machine.nets.of[node], closed)) for node in taking]
        if any(one[0] == other[0] and one != other for one, other in product(*ends)):
            return True
    return False


def takers(machine: Machine, part: Part) -> list[tuple[Node, Node]]:
    """Between which nodes a part takes its power: its coils, else its loads; of a motor on a drive the wired inputs
    that tell the drive to run, none where the plan does not say which these are."""
    if drives := drives_of(part, machine.axes):
        wired = [[pair for pair in _told_at(drive) if pair[0] in machine.nets.joined] for drive in drives]
        return [pair for pairs in wired for pair in pairs] if all(wired) else []
    loads = [one for one in part.of(Draw, Input, Resistance) if not isinstance(one, Resistance) or one.load]
    return [((part.name, one.a), (part.name, one.b)) for one in part.of(Coil) or loads]


def _told_at(drive: Part) -> list[tuple[Node, Node]]:
    told = run_inputs(drive) if getattr(drive.data, "functions", None) else []
    return [((drive.name, a), (drive.name, b)) for a, b in told]


def _sources(machine: Machine, start: Net, closed: Closed) -> Iterator[tuple[str, str]]:
    """The source poles that a net reaches, each by its source and terminal."""
    nets = machine.nets.spread(
        (start,), lambda edge: not isinstance(edge.element, Switch) or closed(edge.part, edge.element)
    )
    poles = (pole for net in nets for pole in machine.nets.poles_at.get(net, ()) if pole.main)
    return ((pole.source, pole.node[1]) for pole in poles)
