"""What lies between a drive and its motors."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wiring.circuit.model import Conductor, Edge, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.rewiring import past, removed
from wiring.parts.base import Part
from wiring.parts.elements import Function, Pole, Switch
from wiring.plan.edits import Edit


def parts_between(design: Design, drive: Part) -> dict[str, Conductor | None]:
    """The parts whose contacts or poles lie behind the outputs of a drive, each with the conductor that leads to it.

    Where a source stands there as well, only those on the way to a motor of the drive are its own.
    """
    starts = [(drive.name, t.name) for t in drive.terminals.values() if t.function is Function.MOTOR]
    came = design.circuit.walk(starts, lambda _, far: not is_earth_point(design.circuit, far))
    fed = any(pole.main and pole.node in came for pole in design.nets.poles)
    motors = {motor.name for motor in design.axes[drive.name].motors}
    ends = [node for node in came if not fed or node[0] in motors]
    found: dict[str, Conductor | None] = {}
    for end in ends:
        for part, conductor in _passed(came, end):
            found.setdefault(part, conductor)
    return found


def _passed(came: Mapping[Node, tuple[Node, Edge] | None], end: Node) -> Iterator[tuple[str, Conductor | None]]:
    """The parts whose contacts or poles lie on the way to a node, each with the conductor in front of it."""
    way: list[Edge] = []
    while (step := came[end]) is not None:
        end, edge = step
        way.append(edge)
    last: Conductor | None = None
    for edge in reversed(way):
        if isinstance(edge, Conductor):
            last = edge
        elif isinstance(edge.element, Switch | Pole):
            yield edge.part, last


def taken_out_of_way(design: Design, name: str) -> tuple[Edit, ...]:
    """The motor conductors led past a part, and the part out of the plan where nothing else is joined to it."""
    found: list[Edit] = []
    ends: list[Node] = []
    for element in design.parts[name].of(Switch, Pole):
        pair = (name, element.a), (name, element.b)
        if all(design.circuit.conductors_at(end) for end in pair):
            edits = past(design, *pair)
            if not edits:
                return ()
            found += edits
            ends += pair
    return (*found, *removed(design, name, ends))
