"""The cabinet as the plan lays it out: what the rules on positions, free space, depth and reach ask of it."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.cabinet.blocks import SENSITIVE
from wiring.cabinet.records import Area, Layout, Placed
from wiring.design.design import Design
from wiring.parts.outlines import HOT_W
from wiring.plan.source import Place

#: A hot part warms what stands above it within this [mm]: the next row; own choice.
_WARMED_MM = 300.0


def position_place(design: Design, name: str) -> Place:
    """Where the position of a part stands in the plan."""
    return design.place(name, "position")


def without_position(design: Design, layout: Layout) -> list[str]:
    """The parts in the cabinet that have no position while others have one."""
    return [name for name in layout.unplaced if design.parts[name].data.at == "cabinet"]


def heat_w(design: Design, placed: Placed) -> float:
    """Heat of a part: solved in the hottest state, or typical of its class where nothing is solved of it [W]."""
    return design.inside.parts_w.get(placed.name, placed.outline.heat_w)


def hot_below(design: Design, layout: Layout) -> Iterator[tuple[Placed, Placed, float]]:
    """Every hot part straight below one that heat harms, and nothing between them: hot, harmed, heat [W]."""
    for hot in layout.plate.values():
        watts = heat_w(design, hot)
        if watts < HOT_W or isinstance(design.parts[hot.name].data, SENSITIVE):
            continue
        above = [one for one in layout.plate.values() if _is_above(one.area, hot.area)]
        for harmed in above:
            nearer = [one for one in above if one.area.top < harmed.y and _overlaps(one.area, harmed.area)]
            if isinstance(design.parts[harmed.name].data, SENSITIVE) and not nearer:
                yield hot, harmed, watts


def _overlaps(one: Area, two: Area) -> bool:
    return min(one.right, two.right) - max(one.x, two.x) > 1.0


def _is_above(one: Area, hot: Area) -> bool:
    return 0.0 <= one.y - hot.top < _WARMED_MM and _overlaps(one, hot)


def bending_room(layout: Layout, placed: Placed) -> float | None:
    """The least distance of a part from a duct straight above or below it [mm]; None where none runs there."""
    found = []
    for duct in layout.ducts:
        if duct.run == "across" and _overlaps(placed.area, duct.area) and not placed.area.meets(duct.area):
            found.append(max(duct.area.y - placed.area.top, placed.area.y - duct.area.top))
    return min((one for one in found if one >= 0.0), default=None)


def off_its_rail(layout: Layout, placed: Placed) -> float:
    """How much of the width of a part hangs on no rail [mm]."""
    covered = 0.0
    for rail in layout.rails:
        if placed.area.y < rail.y < placed.area.top:
            covered = max(covered, min(placed.area.right, rail.x + rail.length) - max(placed.x, rail.x))
    return placed.outline.width - max(covered, 0.0)
