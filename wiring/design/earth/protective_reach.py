"""What the incoming protective conductor reaches through conductors and links between earth points."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from wiring.circuit.model import Conductor, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.parts.elements import Link


def joined_earth(machine: Machine, starts: Iterable[Node], closed: Iterable[Inner] = ()) -> set[Node]:
    """The earth points that conductors and links join to `starts`, and through contacts and poles taken as `closed`."""
    passed = set(closed)
    open_metal = {machine.nets.bare[end] for edge in passed for end in (edge.a, edge.b)}
    reached = set(starts)
    queue = deque(reached)
    while queue:
        node = queue.popleft()
        for edge in machine.circuit.edges_at[node]:
            far = edge.b if edge.a == node else edge.a
            if far in reached or not (_is_solid(edge) or edge in passed):
                continue
            if is_earth_point(machine.circuit, far) or machine.nets.bare[far] in open_metal:
                reached.add(far)
                queue.append(far)
    return reached


def _is_solid(edge: Conductor | Inner) -> bool:
    return edge.kind != "shield" if isinstance(edge, Conductor) else isinstance(edge.element, Link)
