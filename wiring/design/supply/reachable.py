"""The voltage that a load gets once every contact and output on its way is on: for what no state of the plan feeds."""

from __future__ import annotations

from collections import deque

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.supply.given_voltages import Loaded, Reachable, voltages_given
from wiring.design.supply.levels import worst_volts
from wiring.parts.base import Part
from wiring.parts.elements import Pole

#: Below this a load counts as not fed: what leaks through inputs and open outputs (own choice).
_DEAD_V = 0.5


def reachable_volts(machine: Machine, operation: Operation, part: Part, element: Loaded) -> list[Reachable]:
    """What can come to lie across an element that no state feeds; nothing for one that is fed in some state."""
    if any(worst_volts(operation, part, element, kind)[0] > _DEAD_V for kind in ("DC", "AC")):
        return []
    return voltages_given(machine, part, element)


def poles_on_the_way(machine: Machine, part: Part, element: Loaded) -> list[str]:
    """The protective devices on the shortest ways from the ends of an element to the sources that reach it."""
    found: list[str] = []
    for end in (element.a, element.b):
        found += [name for name in _devices_from(machine, (part.name, end)) if name not in found]
    return found


def _devices_from(machine: Machine, start: Node) -> list[str]:
    goals = {pole.node for pole in machine.nets.poles if pole.main}
    came: dict[Node, tuple[Node, Edge] | None] = {start: None}
    queue = deque([start])
    while queue:
        node = queue.popleft()
        if node in goals:
            return _devices_back(came, node)
        for edge in machine.circuit.edges_at[node]:
            far = edge.b if edge.a == node else edge.a
            bond = isinstance(edge, Conductor) and (edge.kind == "shield" or is_earth_point(machine.circuit, far))
            if far not in came and not bond:
                came[far] = (node, edge)
                queue.append(far)
    return []


def _devices_back(came: dict[Node, tuple[Node, Edge] | None], node: Node) -> list[str]:
    found = []
    step = came[node]
    while step is not None:
        node, edge = step
        if isinstance(edge, Inner) and isinstance(edge.element, Pole):
            found.append(edge.part)
        step = came[node]
    return found
