"""What each contact does to the network: whether current that something takes can pass it, and hangs on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import StrEnum

from wiring.circuit.model import Node
from wiring.design.machine import Machine
from wiring.design.nets import Net
from wiring.parts.elements import Function, Link, Rectifying, Switch
from wiring.walks import blocks

#: Terminals that only lead to a contact, or pass a conductor on: nothing behind them takes a current.
_PASSING = (Function.CONTACT, Function.POLE, Function.THROUGH, Function.SHIELD)
Contact = tuple[str, str]


class Effect(StrEnum):
    """What follows when a contact moves: something may, nothing since metal joins its sides, nothing since no circuit
    leads through it, or one of its sides has no conductor."""

    WORKS = "works"
    BRIDGED = "bridged"
    NOWHERE = "leads nowhere"
    UNWIRED = "unwired"


def contact_effects(machine: Machine) -> Mapping[Contact, Effect]:
    """The effect of every contact, by its part and marking, whatever the other contacts do."""
    nets = machine.nets
    contacts = [(part, switch) for part, switch in machine.circuit.elements(Switch)]
    found: dict[Contact, Effect] = {}
    between: dict[Contact, tuple[Net, Net]] = {}
    for part, switch in contacts:
        ends = (part.name, switch.a), (part.name, switch.b)
        name = part.name, switch.name
        if not set(ends) <= nets.joined:
            found[name] = Effect.UNWIRED
        elif nets.of[ends[0]] == nets.of[ends[1]]:
            found[name] = Effect.BRIDGED
        else:
            between[name] = nets.of[ends[0]], nets.of[ends[1]]
    useful = _in_circuits(machine, between)
    return found | {name: Effect.WORKS if name in useful else Effect.NOWHERE for name in between}


def _in_circuits(machine: Machine, between: Mapping[Contact, tuple[Net, Net]]) -> set[Contact]:
    """The contacts on a closed way through something that gives or takes a current."""
    edges: list[tuple[Node, Node, Contact | None]] = [(a, b, name) for name, (a, b) in between.items()]
    edges += [(a, b, None) for a, b in _ways(machine)]
    inside = list(_insides(machine))
    found: set[Contact] = set()
    for block in blocks([(a, b) for a, b, _ in edges] + inside):
        if any(n >= len(edges) for n in block):
            found |= {name for n in block if n < len(edges) and (name := edges[n][2]) is not None}
    return found


def _ways(machine: Machine) -> Iterator[tuple[Node, Node]]:
    """What joins nets and is no contact."""
    for part, element in machine.circuit.elements(Link, Rectifying):
        assert isinstance(element, Link | Rectifying)
        yield machine.nets.of[part.name, element.a], machine.nets.of[part.name, element.b]
    for bond in machine.roles.bonds:
        yield machine.nets.of[bond.a], machine.nets.of[bond.b]


def _insides(machine: Machine) -> Iterator[tuple[Node, Node]]:
    """The terminals at which something gives or takes a current, each with the inside of its part; all of the
    protective earth with one another."""
    for part in machine.parts.values():
        for terminal in part.terminals.values():
            if terminal.function not in _PASSING:
                inside = "" if terminal.function is Function.PE else part.name
                yield machine.nets.of[part.name, terminal.name], (inside, ".inside")
