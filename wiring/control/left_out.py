"""Whether a bought unit is wired as its maker's performance level asks: only then its inside may be left out."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from wiring.circuit.model import Circuit, Conductor, Node
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Link, Logic, Switch

INSIDE_UNIT = "inside of a safety relay: judged by its maker's performance level"
TWO_INPUTS = "drive with two safe torque off inputs: judged by its maker's performance level"


def unit_inside(circuit: Circuit, part: Part, without: Collection[str] = ()) -> str:
    """Why the inside of a safety relay may be left out; empty where its channels do not hang on contacts of their own.

    A maker's level holds for the unit as its manual wires it: every channel over a contact that no other channel uses.
    Conductors `without` are taken away.
    """
    logic = part.of(Logic)
    channels = {name for unit in logic for name in unit.channels}
    inputs = [(part.name, coil.a) for coil in part.of(Coil) if coil.moves in channels]
    return INSIDE_UNIT if logic and _apart(circuit, inputs, without) else ""


def torque_off_inside(circuit: Circuit, part: Part, without: Collection[str] = ()) -> str:
    """The same of a drive with two safe torque off inputs."""
    inputs = [(part.name, coil.a) for coil in part.of(Coil) if coil.moves.startswith("sto")]
    return TWO_INPUTS if len(inputs) > 1 and _apart(circuit, inputs, without) else ""


def _apart(circuit: Circuit, inputs: Sequence[Node], without: Collection[str]) -> bool:
    """Whether each input hangs on a contact, and no two on the same one."""
    found = [_nearest_contacts(circuit, node, without) for node in inputs]
    return all(found) and len(set().union(*found)) == sum(map(len, found))


def _nearest_contacts(circuit: Circuit, start: Node, without: Collection[str]) -> set[str]:
    """The contacts that conductors and links lead to."""
    seen, ahead, found = {start}, [start], set()
    while ahead:
        node = ahead.pop()
        for edge in circuit.edges_at[node]:
            far = edge.other(node)
            if edge.id in without:
                continue
            if isinstance(edge, Conductor) or isinstance(edge.element, Link):
                if far not in seen:
                    seen.add(far)
                    ahead.append(far)
            elif isinstance(edge.element, Switch):
                found.add(edge.id)
    return found
