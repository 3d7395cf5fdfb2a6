"""Whether two things that are each one piece of metal lie side by side, so that one strand may join them."""

from __future__ import annotations

from collections.abc import Set
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor, Node
from wiring.parts.elements import Link

if TYPE_CHECKING:
    from wiring.powerup.builder import Builder


def lie_beside(to: Builder, first: Set[Node], second: Set[Node]) -> bool:
    """Whether a terminal of the one is the neighbour of a terminal of the other on some part."""
    return any(
        ((part.name, one) in first and (part.name, other) in second)
        for part in to.design.parts.values()
        for a, b in part.beside
        for one, other in ((a, b), (b, a))
    )


def joined_with(to: Builder, *ends: Node) -> set[Node]:
    """What conductors and bridges join with some points."""

    def is_metal(edge: object, _far: Node) -> bool:
        return isinstance(edge, Conductor) or isinstance(getattr(edge, "element", None), Link)

    return set(to.design.circuit.walk(ends, is_metal))
