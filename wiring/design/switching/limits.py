"""What a limit does to the two ways of a movement: which of them can still be driven while it is worked."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.circuit.reversing import reversals
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.stop.hazards import run_inputs
from wiring.design.switching.dependence import depends_on
from wiring.design.switching.reachable import Reachability, Stand
from wiring.parts.base import Part
from wiring.parts.drives import Inverter
from wiring.parts.elements import Coil, Switch
from wiring.parts.operators import LimitSwitch
from wiring.parts.signals import IoCard, Sensor
from wiring.solver.assembly import Actuator


class Way(Struct, frozen=True):
    """One direction of a movement by what drives it, as `ends` of a limit names it, and the two ends that are fed."""

    name: str
    a: Node
    b: Node


class Limit(Struct, frozen=True):
    """A limit between two ways: those that can still be driven while it is worked, and what the plan says it ends.

    `program` reads it and commands one of the ways, "" where none does.
    """

    part: str
    ways: tuple[Way, Way]
    stopped: frozenset[str]
    ends: str
    over_travel: bool
    program: str

    @property
    def other(self) -> str:
        """The way that it does not end."""
        return next(way.name for way in self.ways if way.name != self.ends)


def limits(machine: Machine, operation: Operation) -> Iterator[Limit]:
    """Every limit that is opened at an end, beside every pair of ways that it stops or that it says it ends."""
    found = [one for one in machine.parts.values() if _is_limit(machine, one)]
    for ways in _ways(machine) if found else ():
        for part in found:
            yield _limit(machine, operation.reachability, part, ways)


def _is_limit(machine: Machine, part: Part) -> bool:
    """Whether a part is a limit of which a break contact is used."""
    data = part.data
    if not isinstance(data, LimitSwitch | Sensor) or data.purpose not in ("limit", "over-travel"):
        return False
    return any(
        switch.closed_at_rest and {(part.name, switch.a), (part.name, switch.b)} <= machine.nets.joined
        for switch in part.of(Switch)
    )


def _ways(machine: Machine) -> Iterator[tuple[Way, Way]]:
    """Two contactors that turn something round, and the two run inputs of an inverter."""
    for pair in reversals(machine.circuit):
        first, second = (_coil(machine.parts[name]) for name in (pair.first, pair.second))
        yield first, second
    for part in machine.parts.values():
        inputs = run_inputs(part) if isinstance(part.data, Inverter) else []
        if len(inputs) == 2:
            first, second = (Way(f"{part.name}:{a}", (part.name, a), (part.name, b)) for a, b in inputs)
            yield first, second


def _coil(part: Part) -> Way:
    coil = next(iter(part.of(Coil)))
    return Way(part.name, (part.name, coil.a), (part.name, coil.b))


def _limit(machine: Machine, reachable: Reachability, part: Part, ways: tuple[Way, Way]) -> Limit:
    assert isinstance(part.data, LimitSwitch | Sensor)
    free: frozenset[Actuator] = frozenset()
    worked = frozenset({(part.name, "operator")})
    stopped = frozenset(
        way.name for way in ways if _driven(reachable, way, free) and not _driven(reachable, way, worked)
    )
    over_travel = part.data.purpose == "over-travel"
    return Limit(part.name, ways, stopped, part.data.ends, over_travel, _program(machine, part, ways))


def _driven(reachable: Reachability, way: Way, held: frozenset[Actuator]) -> bool:
    """Whether a way can be driven while some operators stand worked."""
    return reachable.joined(way.a, way.b, Stand(reachable.reached_while(held), held))


def _program(machine: Machine, limit: Part, ways: tuple[Way, Way]) -> str:
    """The controller that reads a limit and on which a way rests."""
    nets = machine.nets.spread({machine.nets.of[limit.name, end] for end in limit.terminals})
    reading = {name for net in nets for name, end in machine.nets.members[net] if _reads(machine.parts[name], end)}
    commanding = depends_on(machine, {way.a[0] for way in ways})
    return min(reading & commanding, default="")


def _reads(part: Part, end: str) -> bool:
    return isinstance(part.data, IoCard) and end in part.data.inputs


class Misread(Struct, frozen=True):
    """A switch for one `purpose` at the input of a `card` that its function says is for another."""

    part: str
    purpose: str
    card: str
    end: str
    wants: str


#: What a switch at an input for this may be for.
_MEANT = {"home": ("home",), "limit": ("limit", "over-travel"), "probe": ("probe",)}


def misread_switches(machine: Machine) -> Iterator[Misread]:
    """Every limit, home switch and probe that leads, by its contact alone, to an input for another of the three."""
    inputs = [
        (card.name, card.data.terminals.get(name, name), word)
        for card in machine.parts.values()
        if isinstance(card.data, IoCard)
        for name, word in card.data.functions.items()
        if word in _MEANT and name in card.data.inputs
    ]
    for part in machine.parts.values():
        purpose = getattr(part.data, "purpose", None) if isinstance(part.data, LimitSwitch | Sensor) else None
        ends = {machine.nets.of[part.name, end] for end in part.terminals if (part.name, end) in machine.nets.joined}
        for card, end, word in inputs if purpose in (*_MEANT, "over-travel") else ():
            if purpose not in _MEANT[word] and machine.nets.of[card, end] in ends:
                yield Misread(part.name, str(purpose), card, end, word)
