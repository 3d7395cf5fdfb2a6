"""What each point of the network is for, found from the network itself and never from what a plan calls it.

A role spreads from where it is born (the incoming supply, the output of a supply, a motor terminal) along conductors
and through contacts, poles and links. It stops at loads and at a bond: a conductor that joins a protective earth point
to anything else carries no role across. Of two contactors that turn a motor round it passes one or the other, never
both: closed together they would join the lines.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from enum import StrEnum
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Circuit, Conductor, Edge, Node
from wiring.circuit.reversing import partners, reversals
from wiring.parts.elements import Feed, Function, Link, Output, Pole, Switch


class Role(StrEnum):
    """The role of a point."""

    LIVE = "mains live"
    NEUTRAL = "neutral"
    PE = "protective earth"
    PLUS = "DC plus"
    ZERO = "0 V"
    AC = "separate AC"
    SIGNAL = "signal"
    MOTOR = "motor phase"
    SHIELD = "shield"
    NONE = "not connected"


#: The roles that a conductor has from either of its ends.
_STRONGEST = (Role.PE, Role.MOTOR, Role.SIGNAL)


class Rail(Struct, frozen=True, order=True):
    """A role with the source it belongs to: the supply G1's DC plus, or the mains conductor L."""

    role: Role
    source: str


class Roles(Struct, frozen=True, dict=True):
    """The role of every node.

    `rails` holds every rail that reaches a node, sorted; two of them at one node mean that rails are joined.
    """

    role: Mapping[Node, Role]
    rails: Mapping[Node, tuple[Rail, ...]]
    bonds: tuple[Conductor, ...]

    def of_conductor(self, conductor: Conductor) -> Role:
        """The role of a conductor: that of its ends, where a bond counts as protective earth."""
        if conductor.kind == "shield":
            return Role.SHIELD
        first, second = self.role[conductor.a], self.role[conductor.b]
        for role in _STRONGEST:
            if role is first or role is second:
                return role
        return first if first is not Role.NONE else second

    @cached_property
    def at(self) -> Mapping[Rail, tuple[Node, ...]]:
        """The nodes that each rail reaches."""
        found: dict[Rail, list[Node]] = {}
        for node in sorted(self.rails):
            for rail in self.rails[node]:
                found.setdefault(rail, []).append(node)
        return {rail: tuple(found[rail]) for rail in sorted(found)}


_FEED_ROLE = {"N": Role.NEUTRAL, "PE": Role.PE}


def _births(circuit: Circuit) -> dict[Node, Rail]:
    born: dict[Node, Rail] = {}
    for part, feed in circuit.elements(Feed):
        role = _FEED_ROLE.get(feed.conductor, Role.LIVE)
        if role is not Role.PE:
            born[part.name, feed.terminal] = Rail(role, feed.conductor)
    for part, element in circuit.elements(Output):
        source = part.name if element.name == "output" else f"{part.name} {element.name}"
        if element.name != "output" and not element.plus.startswith("."):
            continue  # a signal output: its terminals say so themselves
        if element.kind == "AC":
            born.setdefault((part.name, element.plus), Rail(Role.AC, source))
            born.setdefault((part.name, element.minus), Rail(Role.AC, source))
        else:
            born.setdefault((part.name, element.plus), Rail(Role.PLUS, source))
            born.setdefault((part.name, element.minus), Rail(Role.ZERO, source))
    return born


def function_of(circuit: Circuit, node: Node) -> Function | None:
    """What the terminal is for; None for an inner point or a shield."""
    part = circuit.parts.get(node[0])
    terminal = part.terminals.get(node[1]) if part else None
    return terminal.function if terminal else None


def is_earth_point(circuit: Circuit, node: Node) -> bool:
    """Whether the node is a protective earth terminal."""
    return node in circuit.earth_points


def _is_bond(circuit: Circuit, edge: Edge) -> bool:
    if not isinstance(edge, Conductor):
        return False
    if edge.kind == "shield":
        return True
    return is_earth_point(circuit, edge.a) != is_earth_point(circuit, edge.b)


def _spread(circuit: Circuit, start: Node, apart: Mapping[str, frozenset[str]], *, direct: bool) -> list[Node]:
    """The nodes that a rail reaches from where it is born; `direct` without passing a contact or a resistance.

    `apart` names for a contactor those that are never closed with it.
    """
    begin: tuple[Node, frozenset[str]] = (start, frozenset())
    reached = {begin}
    queue = deque([begin])
    while queue:
        node, passed = queue.popleft()
        for edge in circuit.edges_at[node]:
            far = edge.other(node)
            if _is_bond(circuit, edge) or (direct and _is_indirect(edge)):
                continue
            others = frozenset() if isinstance(edge, Conductor) else apart.get(edge.part, frozenset())
            if others & passed:
                continue
            step = (far, passed | {edge.part} if others and not isinstance(edge, Conductor) else passed)
            if step not in reached and (far, frozenset()) not in reached:
                reached.add(step)
                queue.append(step)
    return sorted({node for node, _ in reached})


def _is_indirect(edge: Edge) -> bool:
    if isinstance(edge, Conductor) or isinstance(edge.element, Pole):
        return False
    return isinstance(edge.element, Switch) or edge.element.ohm > 0.0


def _net(circuit: Circuit, start: Node) -> list[Node]:
    """The points joined to `start` by conductors and links alone."""

    def joins(edge: Edge, _: Node) -> bool:
        metal = isinstance(edge, Conductor) or (isinstance(edge.element, Link) and edge.element.ohm == 0.0)
        return metal and not _is_bond(circuit, edge)

    return sorted(circuit.walk([start], joins))


_TERMINAL_ROLE = {
    Function.MOTOR: Role.MOTOR,
    Function.INPUT: Role.SIGNAL,
    Function.OUTPUT: Role.SIGNAL,
    Function.PE: Role.PE,
    Function.SHIELD: Role.SHIELD,
}


def _own_roles(circuit: Circuit) -> dict[Node, Role]:
    """Roles that terminals carry along their net: motor phase, signal, protective earth."""
    own: dict[Node, Role] = {}
    nodes: dict[Function | None, list[Node]] = {}
    for node in circuit.nodes:
        nodes.setdefault(function_of(circuit, node), []).append(node)
    for function in (Function.PE, Function.MOTOR, Function.INPUT, Function.OUTPUT, Function.SHIELD):
        for node in nodes.get(function, ()):
            if node not in own:
                for member in _net(circuit, node):
                    own.setdefault(member, _TERMINAL_ROLE[function])
    for node in circuit.nodes:
        if node[1] == ".shield":
            own[node] = Role.SHIELD
    return own


def _spread_signals(circuit: Circuit, role: dict[Node, Role]) -> None:
    """A point that no rail reaches is part of a signal when contacts or conductors tie it to one."""
    queue = deque(node for node in circuit.nodes if role[node] is Role.SIGNAL)
    while queue:
        node = queue.popleft()
        for edge in circuit.edges_at[node]:
            far = edge.other(node)
            if role[far] is Role.NONE and not _is_bond(circuit, edge):
                role[far] = Role.SIGNAL
                queue.append(far)


def _rail_role(rails: tuple[Rail, ...]) -> Role:
    order = (Role.LIVE, Role.NEUTRAL, Role.AC, Role.PLUS, Role.ZERO)
    return min((rail.role for rail in rails), key=order.index)


def find_roles(circuit: Circuit) -> Roles:
    """The roles of every node of a circuit.

    A net with a signal terminal is a signal when rails reach it through contacts alone; the return of a signal that
    lies on a rail keeps the rail's role.
    """
    rails: dict[Node, set[Rail]] = {node: set() for node in circuit.nodes}
    direct: set[Node] = set()
    apart = partners(reversals(circuit))
    for start, rail in sorted(_births(circuit).items()):
        direct.update(_spread(circuit, start, apart, direct=True))
        for node in _spread(circuit, start, apart, direct=False):
            rails[node].add(rail)
    sorted_rails = {node: tuple(sorted(found)) for node, found in rails.items()}
    own = _own_roles(circuit)
    role = {node: _role_of(own.get(node), sorted_rails[node], node in direct) for node in circuit.nodes}
    _spread_signals(circuit, role)
    bonds = tuple(edge for edge in circuit.conductors if edge.kind != "shield" and _is_bond(circuit, edge))
    return Roles(role, sorted_rails, bonds)


def _role_of(own: Role | None, rails: tuple[Rail, ...], direct: bool) -> Role:
    if own in (Role.PE, Role.SHIELD) or (own is Role.SIGNAL and not direct) or (own is Role.MOTOR and not rails):
        return own
    return _rail_role(rails) if rails else own or Role.NONE
