"""Faults that no meter shows, named: what is changed over at the two ends of one closed path, and unused terminals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from wiring.circuit.model import Circuit, Conductor, Inner, Node, named
from wiring.parts.elements import Pole, Switch
from wiring.parts.operators import HandOperated
from wiring.parts.passive import Terminals
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.powerup.builder import Builder
from wiring.powerup.step import Stage

#: Parts with terminals that may stay without a conductor.
_WITH_SPARES = (Terminals, Coiled, SafetyRelay, HandOperated)


def unseen(to: Builder) -> None:
    """Sentences for the part of the sheet that tells what none of its lines sees."""
    circuit = to.design.circuit
    pairs = dict.fromkeys((*((path.a, path.b) for path in _closed_paths(to)), *_loops(to)))
    both = [f"{named(a)} and {named(b)}" for a, b in pairs]
    if both:
        to.unseen.append(
            "The two conductors of one closed path changed over at one of its ends do not show, and do no harm; the "
            f"numbers on the wires tell (line {Stage.EYES.number}.1): {_listed(both)}."
        )
    spare = [named(node) for node in circuit.nodes if _is_spare(circuit, node)]
    if spare:
        to.unseen.append(
            "A bridge that is missing or too many at a terminal without a conductor, and a contact that sticks there, "
            f"do not show, and matter once something is connected: {_listed(spare)}."
        )
    to.unseen.append(
        "Joints that open only when warm or shaken, insulation that is damaged but still apart, and what a program "
        f"does wrong do not show: tug every end ({Stage.EYES.number}.1), measure insulation "
        f"(stage {Stage.INSULATION.number}), repeat after the soak."
    )


def _listed(names: list[str]) -> str:
    return ", ".join(names)


def _closed_paths(to: Builder) -> Iterator[Inner]:
    """Contacts that are closed at rest, and poles that the sheet never opens, with one conductor at either end."""
    circuit = to.design.circuit
    for path in circuit.inner:
        element = path.element
        closed = isinstance(element, Switch) and element.closed_at_rest and element.actuator != "handle"
        closed = closed or (isinstance(element, Pole) and path.part not in to.survey.devices)
        if closed and all(_wires(circuit, end) == 1 for end in (path.a, path.b)):
            yield path


def _loops(to: Builder) -> Iterator[tuple[Node, Node]]:
    """Neighbouring terminals of a part that one chain of conductors and closed contacts joins outside of it."""
    closed = {path.a: path.b for path in _closed_paths(to)}
    closed |= {b: a for a, b in closed.items()}
    for part in to.design.parts.values():
        for first, second in pairwise(part.terminals):
            if _chain_end(to.design.circuit, (part.name, first), closed) == (part.name, second):
                yield (part.name, first), (part.name, second)


def _chain_end(circuit: Circuit, node: Node, closed: Mapping[Node, Node]) -> Node:
    """Where a chain ends that begins with the conductor at a terminal."""
    followed: list[Conductor] = []
    while True:
        onward = [wire for wire in circuit.conductors_at(node) if wire.kind != "shield" and wire not in followed]
        if len(onward) != 1:
            return node
        followed += onward
        node = onward[0].other(node)
        node = closed.get(node, node)


def _wires(circuit: Circuit, node: Node) -> int:
    return sum(wire.kind != "shield" for wire in circuit.conductors_at(node))


def _is_spare(circuit: Circuit, node: Node) -> bool:
    part = circuit.parts.get(node[0])
    return (
        part is not None
        and not node[1].startswith(".")
        and isinstance(part.data, _WITH_SPARES)
        and not _wires(circuit, node)
    )
