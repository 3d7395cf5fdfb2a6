"""Differential signals, and what is wrong with the way of one."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import named
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.motors import Shaft
from wiring.parts.passive import Connector, Terminals
from wiring.parts.signals import Encoder, IoCard


def differential_pairs(part: Part) -> Iterator[tuple[str, str]]:
    """The two halves of every differential signal that a part gives."""
    data = part.data
    names: list[str] = []
    if isinstance(data, Encoder):
        names = list(data.signals)
    elif isinstance(data, Shaft) and data.encoder:
        names = list(data.encoder.signals)
    elif isinstance(data, IoCard):
        names = [name for name, word in data.outputs.items() if word.startswith("differential")]
    shown = {name: data.terminals.get(name, name) for name in names}
    for name in names:
        if name.endswith("+") and f"{name[:-1]}-" in shown:
            yield shown[name], shown[f"{name[:-1]}-"]


def pair_problem(design: Design, plus: tuple[str, str], minus: tuple[str, str]) -> str | None:
    """What is wrong with the way of a differential signal, in words; None for nothing."""
    joined = design.nets.joined
    if plus not in joined and minus not in joined:
        return None
    for half in (plus, minus):
        if half not in joined:
            return f"{named(half)} is open"
        if _is_on_rail(design, half):
            return f"{named(half)} is tied to a rail or to the earth"
    if design.nets.of[plus] == design.nets.of[minus]:
        return "both halves are one conductor"
    if "-" in _receiver_senses(design, plus) and "+" in _receiver_senses(design, minus):
        return "its halves are crossed at the receiver"
    return None


def _is_on_rail(design: Design, half: tuple[str, str]) -> bool:
    net = design.nets.of[half]
    supply = design.nets.is_at_source(net)
    return supply or bool(design.nets.bonds_at.get(net))


def _receiver_senses(design: Design, half: tuple[str, str]) -> set[str]:
    """The signs at the end of the markings of the receivers' terminals."""
    members = design.nets.members[design.nets.of[half]]
    passive = (Terminals, Connector)
    far = [node for node in members if node[0] != half[0] and not isinstance(design.parts[node[0]].data, passive)]
    return {node[1][-1] for node in far}
