"""Protective devices that metal joins on both of their sides."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.parts.elements import Pole
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse


class Paralleled(Struct, frozen=True):
    """Devices in parallel, and their ratings together [A]."""

    parts: tuple[str, ...]
    sum_a: float


def paralleled(design: Design) -> Iterator[Paralleled]:
    """The devices one pole of each of which lies between the same two nets."""
    between: dict[frozenset[Net], dict[str, float]] = {}
    for part in design.parts.values():
        if isinstance(part.data, Fuse | Breaker | ElectronicFuse) and part.data.rating:
            for pole in part.of(Pole):
                ends = frozenset(design.nets.bare[part.name, end] for end in (pole.a, pole.b))
                if len(ends) == 2:
                    between.setdefault(ends, {})[part.name] = part.data.rating
    told: set[tuple[str, ...]] = set()
    for ratings in between.values():
        names = tuple(sorted(ratings))
        if len(names) > 1 and names not in told:
            told.add(names)
            yield Paralleled(names, sum(ratings.values()))
