"""Which conductors belong to power circuits, branch by branch: a lamp on the rail of motors is a control circuit."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import Role
from wiring.design.use import is_power_part, takes_power, use_of
from wiring.parts.elements import Coil, Feed, Link, Output, Switch

if TYPE_CHECKING:
    from wiring.design.design import Design


def _walk(design: Design, starts: Iterable[Node], passes: Callable[[Node, Edge], bool]) -> frozenset[Node]:
    """The nodes that can be reached over edges that `passes` allows from the near node."""
    reached = set(starts)
    queue = deque(sorted(reached))
    while queue:
        node = queue.popleft()
        for edge in design.circuit.edges_at[node]:
            far = edge.b if edge.a == node else edge.a
            if far not in reached and passes(node, edge):
                reached.add(far)
                queue.append(far)
    return frozenset(reached)


def power_nodes(design: Design) -> frozenset[Node]:
    """The points between a source and the loads that take power: motors, drives, heaters, pumps, process sources.

    Contacts and protective devices are passed on the way to the source, and none behind it.
    """
    circuit = design.circuit
    bonds = {bond.id for bond in design.roles.bonds}
    births = [(part.name, e.terminal) for part, e in circuit.elements(Feed)]
    births += [(p.name, end) for p, e in circuit.elements(Output) for end in (e.plus, e.minus)]

    def joins(edge: Edge) -> bool:
        return isinstance(edge.element, Link) if isinstance(edge, Inner) else edge.id not in bonds

    def leads(near: Node, edge: Edge) -> bool:
        return joins(edge) or (isinstance(edge, Inner) and near not in sources)

    sources = _walk(design, births, lambda _, edge: joins(edge))
    strong = {part.name for part in design.parts.values() if is_power_part(part)}
    loads = [node for node in circuit.nodes if node[0] in strong and takes_power(design, node)]
    return _walk(design, loads, leads)


def _is_control_end(design: Design, node: Node) -> bool:
    """Whether a conductor ends here at a coil, a lamp or a card; contacts are asked apart."""
    part = design.parts.get(node[0])
    if part is None:
        return False
    coils = {end for e in part.elements if isinstance(e, Coil) for end in (e.a, e.b)}
    return node[1] in coils or (part.data.is_control and not _contacts(design, node))


def _contacts(design: Design, node: Node) -> list[Switch]:
    part = design.parts.get(node[0])
    return [e for e in part.elements if isinstance(e, Switch) and node[1] in (e.a, e.b)] if part else []


def _switches_power(design: Design, node: Node) -> bool:
    """Whether every contact at a node leads from power to power."""
    ends = ((node[0], end) for contact in _contacts(design, node) for end in (contact.a, contact.b))
    return all(end in design.power_nodes for end in ends)


def circuit_use(design: Design, conductor: Conductor) -> str:
    """power, control, signal or earth, judged by the branch that the conductor belongs to and not by its rail alone.

    Mains conductors are power unless they end at a coil, a lamp or a card.
    """
    use = use_of(design, conductor)
    role = design.roles.of_conductor(conductor)
    if use != "power" or role is Role.MOTOR:
        return use
    if any(_is_control_end(design, end) for end in conductor.ends):
        return "control"
    if role in (Role.LIVE, Role.NEUTRAL):
        return "power"
    on_way = all(end in design.power_nodes and _switches_power(design, end) for end in conductor.ends)
    return "power" if on_way else "control"
