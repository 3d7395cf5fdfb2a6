"""Stop relays whose channels semiconductor outputs feed, as they work there."""

from __future__ import annotations

from functools import partial

from wiring.circuit.model import Circuit, Conductor, Edge, Node
from wiring.parts.base import Part, build_part
from wiring.parts.elements import Link, Pole, Switch


def as_fed(circuit: Circuit) -> dict[str, Part]:
    """The parts of a circuit that work otherwise by what feeds their terminals, as they work then."""
    found = {}
    for part in circuit.parts.values():
        data = part.data.as_fed(partial(_by_semiconductor, circuit, part))
        if data is not part.data:
            found[part.name] = build_part(part.name, data, part.place, part.library)
    return found


def _by_semiconductor(circuit: Circuit, part: Part, terminal: str) -> bool:
    """Whether a semiconductor output leads to a terminal, through contacts that are in its way, and nothing else of the
    part does; what an operator lays beside that way is no part of it."""
    return any(_leads(circuit, part, terminal, at_rest=at_rest) for at_rest in (True, False))


def _leads(circuit: Circuit, part: Part, terminal: str, *, at_rest: bool) -> bool:
    def leads(edge: Edge, _: Node) -> bool:
        if isinstance(edge, Conductor):
            return edge.kind != "shield"
        switch = edge.element
        mechanical = isinstance(switch, Switch) and not switch.solid_state and (switch.closed_at_rest or not at_rest)
        return edge.part != part.name and (mechanical or isinstance(switch, Link | Pole))

    reached = circuit.walk([(part.name, terminal)], leads)
    own = sum(name == part.name for name, _ in reached)
    outputs = {(name, s.b) for name, _ in reached for s in circuit.parts[name].of(Switch) if s.solid_state}
    return own == 1 and any(node in reached for node in outputs)
