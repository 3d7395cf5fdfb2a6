"""The way of a part's current from its source and back, and what on it carries the current of which parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wiring.circuit.model import Node
from wiring.design.fault.paths import FaultPaths
from wiring.parts.base import Part


def way_of(paths: FaultPaths, part: Part) -> frozenset[str]:
    """Ids of the conductors, poles and contacts through which a part is fed, there and back. Empty where nothing does.

    A walk from either side of the source by the least resistance, as a short circuit takes it.
    """
    found: set[str] = set()
    for terminal in part.terminals:
        for walk in (paths.hot, paths.returns):
            node: Node | None = (part.name, terminal)
            while node is not None and node in walk:
                back = walk[node].back
                if back is not None:
                    found.add(back.id)
                node = walk[node].before
    return frozenset(found)


def parts_by_way(paths: FaultPaths, parts: Iterable[Part]) -> Mapping[str, tuple[Part, ...]]:
    """For every conductor, pole and contact by its id the parts that are fed through it."""
    found: dict[str, list[Part]] = {}
    for part in parts:
        for edge in sorted(way_of(paths, part)):
            found.setdefault(edge, []).append(part)
    return {edge: tuple(rows) for edge, rows in found.items()}
