"""Faults that no meter shows, named: what is changed over at the two ends of one closed path, and unused terminals."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Circuit, Inner, Node, named
from wiring.parts.elements import Link, Switch
from wiring.powerup.builder import Builder

#: Kinds with terminals that may stay without a conductor.
_WITH_SPARES = frozenset({"terminals", "contactor", "relay", "safety-relay", "button", "limit-switch"})


def unseen(to: Builder) -> None:
    """Sentences for the part of the sheet that tells what none of its lines sees."""
    circuit = to.design.circuit
    both = [f"{named(path.a)} and {named(path.b)}" for path in _closed_paths(circuit)]
    if both:
        to.unseen.append(
            "Two conductors changed over at the two ends of one closed path do not show, and do no harm; the numbers "
            f"on the wires tell (line 1.1): {_listed(both)}."
        )
    spare = [named(node) for node in circuit.nodes if _is_spare(circuit, node)]
    if spare:
        to.unseen.append(
            "A bridge that is missing or too many at a terminal without a conductor, and a contact that sticks there, "
            f"do not show, and matter once something is connected: {_listed(spare)}."
        )
    to.unseen.append(
        "Joints that open only when warm or shaken, insulation that is damaged but still apart, and what a program "
        "does wrong do not show: tug every end (1.1), measure insulation (stage 4), repeat after the soak."
    )


def _listed(names: list[str]) -> str:
    return ", ".join(names)


def is_closed_path(path: Inner) -> bool:
    """Whether a path inside a part conducts while nothing is worked."""
    return not isinstance(path.element, Link) and not (
        isinstance(path.element, Switch) and not path.element.closed_at_rest
    )


def _closed_paths(circuit: Circuit) -> Iterator[Inner]:
    for path in circuit.inner:
        if is_closed_path(path) and all(_wires(circuit, end) == 1 for end in (path.a, path.b)):
            yield path


def _wires(circuit: Circuit, node: Node) -> int:
    return sum(wire.kind != "shield" for wire in circuit.conductors_at(node))


def _is_spare(circuit: Circuit, node: Node) -> bool:
    part = circuit.parts.get(node[0])
    return part is not None and not node[1].startswith(".") and part.kind in _WITH_SPARES and not _wires(circuit, node)
