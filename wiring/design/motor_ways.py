"""What lies between a drive and its motors."""

from __future__ import annotations

from collections import deque

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.rewiring import past, removed
from wiring.parts.base import Part
from wiring.parts.elements import Function, Pole, Switch
from wiring.plan.edits import Edit


def parts_between(design: Design, drive: Part) -> dict[str, Conductor | None]:
    """The parts whose contacts or poles lie behind the outputs of a drive, each with the conductor that leads to it."""
    queue: deque[tuple[tuple[str, str], Conductor | None]] = deque(
        ((drive.name, t.name), None) for t in drive.terminals.values() if t.function is Function.MOTOR
    )
    seen = {node for node, _ in queue}
    found: dict[str, Conductor | None] = {}
    while queue:
        node, last = queue.popleft()
        for edge in design.circuit.edges_at[node]:
            far = edge.b if edge.a == node else edge.a
            if far in seen or is_earth_point(design.circuit, far):
                continue
            if not isinstance(edge, Conductor) and isinstance(edge.element, Switch | Pole):
                found.setdefault(edge.part, last)
            seen.add(far)
            queue.append((far, edge if isinstance(edge, Conductor) else last))
    return found


def taken_out_of_way(design: Design, name: str) -> tuple[Edit, ...]:
    """The motor conductors led past a part, and the part out of the plan where nothing else is joined to it."""
    found: list[Edit] = []
    ends: list[Node] = []
    for element in design.parts[name].of(Switch, Pole):
        assert isinstance(element, Switch | Pole)
        pair = (name, element.a), (name, element.b)
        if all(design.circuit.conductors_at(end) for end in pair):
            edits = past(design, *pair)
            if not edits:
                return ()
            found += edits
            ends += pair
    return (*found, *removed(design, name, ends))
