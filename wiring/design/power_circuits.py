"""What takes power, and what lies between it and its source: rails and points of power circuits."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator

from wiring.circuit.model import Circuit, Edge, Inner, Node
from wiring.circuit.roles import Rail, Role, Roles
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Feed, Input, Link, Output, Resistance
from wiring.parts.loads import Heater, ProcessSource, Pump
from wiring.parts.motors import Shaft
from wiring.walks import walk


def is_power_part(part: Part) -> bool:
    """Whether a part is one of those that take power to work: drive, motor, heater, pump, process source."""
    return isinstance(part.data, Drive | Heater | ProcessSource | Pump | Shaft)


def takes_power(circuit: Circuit, node: Node) -> bool:
    """Whether a node is a main supply terminal of such a part; its enable, logic and signal terminals do not count."""
    part = circuit.parts.get(node[0])
    if part is None or not is_power_part(part):
        return False
    for element in part.elements:
        match element:
            case Draw() if element.name != "logic":
                ends = (element.a, element.b)
            case Input():
                ends = (element.a, element.b)
            case Resistance() if element.load:
                ends = (element.a, element.b)
            case _:
                continue
        if node[1] in ends:
            return True
    return False


def load_and_source_nodes(circuit: Circuit) -> frozenset[Node]:
    """The terminals of all loads and sources, those of coils, logic and signals with them."""
    loads = (*circuit.elements(Coil, Draw), *circuit.elements(Input, Resistance))
    found = {(part.name, end) for part, element in loads for end in (element.a, element.b)}
    found |= {(part.name, feed.terminal) for part, feed in circuit.elements(Feed)}
    found |= {(part.name, end) for part, source in circuit.elements(Output) for end in (source.plus, source.minus)}
    return frozenset(found)


def _is_power_rail(circuit: Circuit, roles: Roles, rail: Rail) -> bool:
    """Whether motors, drives, heaters or process sources hang on a rail; the mains always are power."""
    if rail.role in (Role.LIVE, Role.NEUTRAL):
        return True
    return any(takes_power(circuit, node) for node in roles.at.get(rail, ()))


def power_rails(circuit: Circuit, roles: Roles) -> frozenset[Rail]:
    """The rails on which motors, drives, heaters or process sources hang."""
    return frozenset(rail for rail in roles.at if _is_power_rail(circuit, roles, rail))


def _devices_to_source(circuit: Circuit, births: Iterable[Node], joins: Callable[[Edge], bool]) -> dict[Node, int]:
    """How many contacts and protective devices lie between each node and the nearest source."""
    found = dict.fromkeys(sorted(births), 0)
    queue = deque(found)
    while queue:
        node = queue.popleft()
        for edge in circuit.edges_at[node]:
            far, step = edge.other(node), 0 if joins(edge) else 1
            if (
                not (isinstance(edge, Inner) or joins(edge))
                or found.get(far, found[node] + step + 1) <= found[node] + step
            ):
                continue
            found[far] = found[node] + step
            queue.append(far) if step else queue.appendleft(far)
    return found


def power_nodes(circuit: Circuit, roles: Roles) -> frozenset[Node]:
    """The points between a source and the loads that take power: motors, drives, heaters, pumps, process sources.

    Contacts and protective devices are passed towards the source alone, so that no branch beside the way counts.
    """
    bonds = {bond.id for bond in roles.bonds}
    births = [(part.name, e.terminal) for part, e in circuit.elements(Feed)]
    births += [(p.name, end) for p, e in circuit.elements(Output) for end in (e.plus, e.minus)]

    def joins(edge: Edge) -> bool:
        return isinstance(edge.element, Link) if isinstance(edge, Inner) else edge.id not in bonds

    far_off = _devices_to_source(circuit, births, joins)

    def onward(near: Node) -> Iterator[tuple[Edge, Node]]:
        for edge, far in circuit.steps(near):
            nearer = far in far_off and near in far_off and far_off[far] < far_off[near]
            if joins(edge) or (isinstance(edge, Inner) and nearer):
                yield edge, far

    strong = {part.name for part in circuit.parts.values() if is_power_part(part)}
    loads = [node for node in circuit.nodes if node[0] in strong and takes_power(circuit, node)]
    return frozenset(walk(loads, onward))
