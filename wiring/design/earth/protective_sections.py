"""The protective conductors that have no second way beside them, and the parts whose leakage each carries alone."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.parts.elements import Link


class EarthSection(Struct, frozen=True):
    """A protective conductor that alone holds `parts` at the earth: without it they lose their way to `inlet`."""

    conductor: Conductor
    parts: tuple[str, ...]
    inlet: Node


def _solid(machine: Machine, edge: Edge, far: Node) -> bool:
    joins = edge.kind != "shield" if isinstance(edge, Conductor) else isinstance(edge.element, Link)
    return joins and is_earth_point(machine.circuit, far)


def lone_sections(machine: Machine, inlet: Node) -> Iterator[EarthSection]:
    """Every such conductor behind one inlet, those nearest to it first.

    Depth-first from the inlet; a tree edge is alone when nothing beyond it leads back in front of it (Tarjan, "A note
    on finding the bridges of a graph", Information Processing Letters 2, 1974).
    """
    circuit = machine.circuit
    order: list[Node] = [inlet]
    number, lowest = {inlet: 0}, {inlet: 0}
    came: dict[Node, Edge] = {}
    stack = [(inlet, iter(circuit.edges_at[inlet]))]
    children: dict[Node, list[Node]] = {}
    while stack:
        node, edges = stack[-1]
        for edge in edges:
            far = edge.other(node)
            if edge is came.get(node) or not _solid(machine, edge, far):
                continue
            if far in number:
                lowest[node] = min(lowest[node], number[far])
                continue
            number[far] = lowest[far] = len(order)
            order.append(far)
            came[far] = edge
            children.setdefault(node, []).append(far)
            stack.append((far, iter(circuit.edges_at[far])))
            break
        else:
            stack.pop()
            if stack:
                above = stack[-1][0]
                lowest[above] = min(lowest[above], lowest[node])
    behind: dict[Node, set[str]] = {}
    for node in reversed(order):
        behind[node] = {node[0]}.union(*(behind[child] for child in children.get(node, ())))
    for node in order[1:]:
        edge = came[node]
        if isinstance(edge, Conductor) and lowest[node] == number[node]:
            yield EarthSection(edge, tuple(sorted(behind[node])), inlet)
