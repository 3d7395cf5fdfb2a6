"""Terminal strips, plugs and earth bars in their physical order: what is wired to either side of every point."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.passive import Connector, EarthBar, Terminals, bridge_points
from wiring.wording import natural


def strips(design: Design) -> list[Part]:
    """The parts that only join conductors, in the natural order of their names."""
    found = [part for part in design.parts.values() if isinstance(part.data, Terminals | Connector | EarthBar)]
    return sorted(found, key=lambda part: natural(part.name))


def sides(conductors: tuple[Conductor, ...]) -> tuple[list[Conductor], list[Conductor]]:
    """The conductors of a point on its inner and its outer side."""
    outer = [conductor for conductor in conductors if conductor.cable is not None]
    inner = [conductor for conductor in conductors if conductor.cable is None]
    if len(inner) > 1 and not outer:
        return inner[:1], inner[1:]
    return inner, outer


def bridges(part: Part) -> Mapping[str, str]:
    """The bridge at each point, as the plan writes it: 1-5."""
    data = part.data
    if isinstance(data, EarthBar):
        return dict.fromkeys(part.terminals, "bar")
    if not isinstance(data, Terminals):
        return {}
    found: dict[str, list[str]] = {}
    for bridge in data.bridged:
        for point in bridge_points(bridge):
            found.setdefault(point, []).append(bridge)
    for point in data.earth_points:
        found.setdefault(point, []).append("rail")
    names = dict(data.terminals)
    return {names.get(point, point): " ".join(runs) for point, runs in found.items()}
