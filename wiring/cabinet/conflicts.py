"""What is in another's way in a layout: parts over parts, over ducts, off the plate, or without their free space."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from itertools import combinations

from msgspec import Struct

from wiring.cabinet.records import Area, DuctPiece, Layout, Placed
from wiring.cabinet.walls import (
    Solid,
    duct_solid,
    on_wall,
    part_solids,
    placed_on_walls,
    placed_solids,
    plate_solid,
    plate_space,
    wall_area,
    wall_space,
)


class Conflict(StrEnum):
    """How two things are in each other's way."""

    PART = "over another part"
    DUCT = "over a duct"
    EDGE = "off its board"
    DEPTH = "reaches into"
    CLEARANCE = "too near"


class Clash(Struct, frozen=True):
    """One conflict: the parts that it names, the duct or plate where one takes part, and the missing length [mm]."""

    sort: Conflict
    names: tuple[str, ...]
    duct: str = ""
    has: float = 0.0
    wants: float = 0.0


def conflicts_of(layout: Layout) -> Iterator[Clash]:
    """Every conflict on the plate, on the door and on the walls, and of what hangs on walls with what is inside."""
    box = layout.box
    yield from _of(layout.plate, Area(0.0, 0.0, box.plate_width, box.plate_height))
    yield from _of(layout.door, Area(0.0, 0.0, box.width, box.height))
    for placed in layout.plate.values():
        for duct in layout.ducts:
            if placed.area.meets(duct.area):
                yield Clash(Conflict.DUCT, (placed.name,), duct.name)
    for wall, hung in layout.walls.items():
        yield from _of(hung, wall_area(box, wall))
    yield from _into(layout)
    yield from _crowded(layout)


def _into(layout: Layout) -> Iterator[Clash]:
    """What reaches from a wall into something else in the cabinet: the part on the wall is named last."""
    box = layout.box
    hung = [(wall, one, on_wall(box, wall, one)) for wall, one in placed_on_walls(layout)]
    things = [(duct.name, duct_solid(box, duct)) for duct in layout.ducts]
    for _, one, solid in hung:
        if solid.meets(plate_solid(box)):
            yield Clash(Conflict.DEPTH, (one.name,), "the plate")
        yield from (Clash(Conflict.DEPTH, (one.name,), name) for name, other in things if solid.meets(other))
        for name, other in part_solids(layout):
            if solid.meets(other):
                yield Clash(Conflict.DEPTH, (name, one.name))
    for (wall, one, solid), (facing, two, other) in combinations(hung, 2):
        if wall != facing and solid.meets(other):
            yield Clash(Conflict.DEPTH, (one.name, two.name))


def _crowded(layout: Layout) -> Iterator[Clash]:
    """Free space that a part on another board takes: of a part on a wall, or by one."""
    box = layout.box
    hung = [(wall, one, on_wall(box, wall, one)) for wall, one in placed_on_walls(layout)]
    inside = list(part_solids(layout))
    for wall, one, _ in hung:
        others = [(two.name, solid) for facing, two, solid in hung if facing != wall]
        yield from _taken(one, wall_space(box, wall, one), on_wall(box, wall, one), [*inside, *others])
    for one, solid in placed_solids(layout):
        if one.name in layout.plate:
            yield from _taken(one, plate_space(box, one), solid, [(two.name, other) for _, two, other in hung])


def _taken(
    one: Placed, spaces: Iterable[tuple[float, Solid]], solid: Solid, others: Sequence[tuple[str, Solid]]
) -> Iterator[Clash]:
    """Each of the others that stands in one of the free spaces of a part and not in the part itself."""
    rooms = list(spaces)
    for name, other in others:
        wants = max((wide for wide, room in rooms if room.meets(other)), default=0.0)
        if wants and not solid.meets(other):
            yield Clash(Conflict.CLEARANCE, (one.name, name), has=solid.apart(other), wants=wants)


def off_plate(layout: Layout) -> Iterator[tuple[str, str]]:
    """The rails and ducts that reach beyond the plate: "rails" or "ducts", and the name."""
    plate = Area(0.0, 0.0, layout.box.plate_width, layout.box.plate_height)
    for rail in layout.rails:
        if not plate.holds(Area(rail.x, rail.y, rail.length, 0.0)):
            yield "rails", rail.name
    for duct in layout.ducts:
        if not plate.holds(duct.area):
            yield "ducts", duct.name


def lies_over(layout: Layout, piece: DuctPiece) -> str:
    """What a duct of the layout, made larger so, would lie over and does not now; "" where nothing is there."""
    now = next(one.area for one in layout.ducts if one.name == piece.name)
    plate = Area(0.0, 0.0, layout.box.plate_width, layout.box.plate_height)
    if plate.holds(now) and not plate.holds(piece.area):
        return "the edge of the plate"
    others = [(one.name, one.area) for one in layout.plate.values()]
    others += [(one.name, one.area) for one in layout.ducts if one.run == piece.run and one.name != piece.name]
    return next((name for name, other in others if piece.area.meets(other) and not now.meets(other)), "")


def _of(placed: Mapping[str, Placed], board: Area) -> Iterator[Clash]:
    for one in placed.values():
        if not board.holds(one.area):
            yield Clash(Conflict.EDGE, (one.name,))
    for one, two in combinations(placed.values(), 2):
        if one.area.meets(two.area):
            yield Clash(Conflict.PART, (one.name, two.name))
        else:
            yield from _too_near(one, two)


def _too_near(one: Placed, two: Placed) -> Iterator[Clash]:
    """Two parts of which one stands in the free space that the other wants; each names whose space it is first."""
    for first, second in ((one, two), (two, one)):
        outline, area, other = first.outline, first.area, second.area
        if area.widened(outline.sides, 0.0, 0.0).meets(other):
            aside = max(other.x - area.right, area.x - other.right)
            yield Clash(Conflict.CLEARANCE, (first.name, second.name), has=aside, wants=outline.sides)
        elif area.widened(0.0, outline.above, 0.0).meets(other):
            yield Clash(Conflict.CLEARANCE, (first.name, second.name), has=other.y - area.top, wants=outline.above)
        elif area.widened(0.0, 0.0, outline.below).meets(other):
            yield Clash(Conflict.CLEARANCE, (first.name, second.name), has=area.y - other.top, wants=outline.below)
