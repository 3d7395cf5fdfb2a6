"""Sources that metal joins, by conductors alone or through contacts that are closed at once in some state."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from wiring.circuit.model import Conductor, Inner
from wiring.design.machine import Machine
from wiring.design.nets import Net, SourcePole
from wiring.design.operation import Operation
from wiring.disjoint_sets import joined
from wiring.parts.elements import Switch
from wiring.parts.passive import Terminals
from wiring.parts.storage import Battery, Charger
from wiring.solver.lowering import is_closed

#: Two rails count as of one voltage within this share (own choice, the tolerance of an adjustable supply).
_ONE_VOLTAGE = 0.05
#: Voltage of a charger over the nominal one of its battery.
_LEAST_CHARGE, _MOST_CHARGE = 1.0, 1.25


class SourceConnection(Struct, frozen=True):
    """Two poles of sources on one piece of metal. `state` and `contacts` are empty when no contact takes part."""

    first: SourcePole
    second: SourcePole
    state: str
    contacts: tuple[str, ...]


def _grouped(pairs: list[tuple[Net, Net]], nets: Iterable[Net]) -> list[list[Net]]:
    """The nets in groups that pairs join, through other nets too."""
    wanted = list(nets)
    first = joined([*wanted, *(net for pair in pairs for net in pair)], pairs)
    found: dict[Net, list[Net]] = {}
    for net in wanted:
        found.setdefault(first[net], []).append(net)
    return list(found.values())


def _closed_contacts(machine: Machine, operation: Operation, state: str) -> list[tuple[Net, Net, str]]:
    of = machine.nets.of
    position = operation.states[state].position
    return [
        (of[edge.source.a], of[edge.source.b], edge.id)
        for edge in machine.lowered.edges
        if isinstance(edge.source, Inner)
        and isinstance(edge.source.element, Switch)
        and is_closed(edge, position.moved, position.opened)
    ]


def one_voltage(first: SourcePole, second: SourcePole) -> bool:
    """Whether two poles stand at the same voltage."""
    return abs(first.volts - second.volts) <= _ONE_VOLTAGE * max(first.volts, second.volts)


def source_connections(machine: Machine, operation: Operation) -> Iterator[SourceConnection]:
    """Every pair of different poles on one piece of metal, each once; without contacts first."""
    seen: set[tuple[SourcePole, SourcePole]] = set()
    for state in ("", *operation.state_entries):
        closed = _closed_contacts(machine, operation, state) if state else []
        groups = _grouped([(a, b) for a, b, _ in closed], machine.nets.poles_at)
        for group in groups:
            poles = [pole for net in group for pole in machine.nets.poles_at[net]]
            for n, first in enumerate(poles):
                for second in poles[n + 1 :]:
                    if (first, second) in seen:
                        continue
                    seen.add((first, second))
                    yield SourceConnection(first, second, state, _contacts(closed, machine, first, second))


def _contacts(
    closed: list[tuple[Net, Net, str]], machine: Machine, first: SourcePole, second: SourcePole
) -> tuple[str, ...]:
    """The contacts on the shortest way between two poles."""
    start, goal = machine.nets.of[first.node], machine.nets.of[second.node]
    came: dict[Net, tuple[Net, str]] = {start: (start, "")}
    queue = [start]
    for net in queue:
        for a, b, name in closed:
            far = b if a == net else a if b == net else None
            if far is not None and far not in came:
                came[far] = (net, name)
                queue.append(far)
    names = []
    while goal != start and goal in came:
        goal, name = came[goal]
        names.append(name)
    return tuple(sorted(names))


def joining_parts(machine: Machine, operation: Operation, connection: SourceConnection) -> tuple[str, ...]:
    """The rows of terminals that hold the metal halfway between two poles which contacts join: what they bridge is the
    likeliest to be wrong."""
    if not connection.contacts:
        return ()
    of, inner = machine.nets.of, {edge.id: edge for edge in machine.circuit.inner}
    ends = [(of[inner[name].a], of[inner[name].b]) for name in connection.contacts if name in inner]
    net, passed = of[connection.first.node], []
    while step := next((pair for pair in ends if net in pair and pair not in passed), None):
        passed.append(step)
        net = step[1] if step[0] == net else step[0]
        if 2 * len(passed) >= len(ends):
            break
    members = {name for name, _ in machine.nets.members[net] if name in machine.parts}
    return tuple(sorted(name for name in members if isinstance(machine.parts[name].data, Terminals)))


def battery_chargers(machine: Machine, operation: Operation) -> Mapping[str, frozenset[str]]:
    """The batteries that each charger stands on a rail with, where its voltage suits them: they are made to share it.

    A charger holds a lead cell of 2 V at 2.25 to 2.45 V, one of lithium of 3.2 V at 3.4 to 3.65 V (common practice).
    """
    found: dict[str, frozenset[str]] = {}
    if not any(isinstance(part.data, Charger) for part in machine.parts.values()):
        return found
    for connection in source_connections(machine, operation):
        for one, two in ((connection.first, connection.second), (connection.second, connection.first)):
            charger, battery = machine.parts.get(one.source), machine.parts.get(two.source)
            if charger is None or battery is None or one.sign != two.sign:
                continue
            if isinstance(charger.data, Charger) and isinstance(battery.data, Battery):
                share = charger.data.output.volts / battery.data.voltage.volts
                if _LEAST_CHARGE <= share <= _MOST_CHARGE:
                    found[charger.name] = found.get(charger.name, frozenset()) | {battery.name}
    return found


def culprit(machine: Machine, connection: SourceConnection) -> Conductor | None:
    """The conductor halfway between two poles: the likeliest to be wrong; None where contacts take part."""
    path = machine.nets.path(connection.first.node, connection.second.node)
    return path[len(path) // 2] if path else None
