"""The walls of the cabinet: parts on its sides, roof and floor, and the room that they take inside it.

On the left and right wall x is measured from the back and y from below; on top and bottom x from the left as seen from
the front and y from the back. The size of a part on a wall is width x height along these, its depth is how far it
reaches into the cabinet. All in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product

from msgspec import Struct

from wiring.cabinet.box import PLATE_STAND_OFF
from wiring.cabinet.door import AIR, front_of
from wiring.cabinet.records import SAME, WALLS, Area, Box, DuctPiece, Layout, Placed, Wall
from wiring.parts.base import Part
from wiring.parts.incoming import Inlet
from wiring.parts.outlines import HOT_W, Outline
from wiring.parts.passive import Connector

#: Free rim of a wall for its folds and the seal of the door, and how far apart places are tried [mm]; own choice.
RIM, _STEP = 15.0, 10.0
#: Thickness of the plate [mm]; typical, no source.
_PLATE_THICKNESS = 3.0
#: No more places than this are tried along one side of a wall.
_MOST_STEPS = 60


class Solid(Struct, frozen=True):
    """A box in the cabinet: its two ends to the right, upwards, and from the back wall to the front."""

    across: tuple[float, float]
    up: tuple[float, float]
    out: tuple[float, float]

    def meets(self, other: Solid, air: float = 0.0) -> bool:
        """Whether the two have an inner point in common, or are less than `air` apart."""
        pairs = ((self.across, other.across), (self.up, other.up), (self.out, other.out))
        return all(min(a[1], b[1]) + air - max(a[0], b[0]) > SAME for a, b in pairs)

    def apart(self, other: Solid) -> float:
        """How far the two are apart in the direction in which they are furthest; nothing or less where they meet."""
        pairs = ((self.across, other.across), (self.up, other.up), (self.out, other.out))
        return max(max(a[0], b[0]) - min(a[1], b[1]) for a, b in pairs)


def wall_area(box: Box, wall: Wall) -> Area:
    """The whole of a wall."""
    return Area(0.0, 0.0, *((box.depth, box.height) if wall in ("left", "right") else (box.width, box.depth)))


def on_wall(box: Box, wall: Wall, one: Placed) -> Solid:
    """What a part on a wall takes of the cabinet, with the free space that it wants in front."""
    return _from_wall(box, wall, one.area, one.outline.depth + one.outline.front)


def free_space(wide: Callable[[Area], Solid], one: Placed) -> Iterator[tuple[float, Solid]]:
    """The room of a part with the free space that it wants beside, above and below it, and how much that is."""
    area, outline = one.area, one.outline
    yield outline.sides, wide(area.widened(outline.sides, 0.0, 0.0))
    yield outline.above, wide(area.widened(0.0, outline.above, 0.0))
    yield outline.below, wide(area.widened(0.0, 0.0, outline.below))


def wall_space(box: Box, wall: Wall, one: Placed) -> Iterator[tuple[float, Solid]]:
    """The free space of a part on a wall."""
    reach = one.outline.depth + one.outline.front
    return free_space(lambda area: _from_wall(box, wall, area, reach), one)


def plate_space(box: Box, one: Placed) -> Iterator[tuple[float, Solid]]:
    """The free space of a part on the plate."""
    return free_space(lambda area: _before_plate(box, area, front_of(one.outline)), one)


def _from_wall(box: Box, wall: Wall, area: Area, reach: float) -> Solid:
    first, second = (area.x, area.right), (area.y, area.top)
    match wall:
        case "left":
            return Solid((0.0, reach), second, first)
        case "right":
            return Solid((box.width - reach, box.width), second, first)
        case "top":
            return Solid(first, (box.height - reach, box.height), second)
        case "bottom":
            return Solid(first, (0.0, reach), second)


def _before_plate(box: Box, area: Area, front: float) -> Solid:
    dx, dy = box.offset
    return Solid((area.x + dx, area.right + dx), (area.y + dy, area.top + dy), (PLATE_STAND_OFF, front))


def duct_solid(box: Box, duct: DuctPiece) -> Solid:
    """What a wiring duct takes."""
    return _before_plate(box, duct.area, PLATE_STAND_OFF + duct.depth)


def plate_solid(box: Box) -> Solid:
    """The mounting plate itself."""
    whole = _before_plate(box, Area(0.0, 0.0, box.plate_width, box.plate_height), PLATE_STAND_OFF)
    return Solid(whole.across, whole.up, (PLATE_STAND_OFF - _PLATE_THICKNESS, PLATE_STAND_OFF))


def placed_solids(layout: Layout) -> Iterator[tuple[Placed, Solid]]:
    """Every part on the plate and on the walls with what it takes."""
    for one in layout.plate.values():
        yield one, _before_plate(layout.box, one.area, front_of(one.outline))
    for wall, one in placed_on_walls(layout):
        yield one, on_wall(layout.box, wall, one)


def part_solids(layout: Layout) -> Iterator[tuple[str, Solid]]:
    """What every part on the plate and on the door takes."""
    box = layout.box
    for one in layout.plate.values():
        yield one.name, _before_plate(box, one.area, front_of(one.outline))
    for one in layout.door.values():
        area = one.area
        yield one.name, Solid((area.x, area.right), (area.y, area.top), (box.depth - one.outline.depth, box.depth))


def placed_on_walls(layout: Layout) -> Iterator[tuple[Wall, Placed]]:
    """Every part on a wall, with its wall."""
    for wall, placed in layout.walls.items():
        yield from ((wall, one) for one in placed.values())


def wall_places(
    layout: Layout, waiting: Mapping[str, Outline], parts: Mapping[str, Part]
) -> tuple[dict[Wall, dict[str, Placed]], dict[str, str]]:
    """The parts on the walls with those that wait for a place there, and why some find none."""
    walls: dict[Wall, dict[str, Placed]] = {wall: dict(layout.walls.get(wall, {})) for wall in WALLS}
    box = layout.box
    dull = [plate_solid(box), *(duct_solid(box, one) for one in layout.ducts)]
    parts_there = [solid for _, solid in part_solids(layout)]
    wanted = [solid for one in layout.plate.values() for _, solid in plate_space(box, one)]
    for wall, one in placed_on_walls(layout):
        parts_there.append(on_wall(box, wall, one))
        wanted += [solid for _, solid in wall_space(box, wall, one)]
    unplaced: dict[str, str] = {}
    for name, outline in waiting.items():
        spots = ((wall, one) for wall in _liked(box, parts[name], outline) for one in _spots(box, wall, name, outline))
        free = (spot for spot in spots if _is_free(on_wall(box, *spot), [*dull, *parts_there]))
        found = next((spot for spot in free if _has_space(box, spot, parts_there, wanted)), None)
        if found is None:
            unplaced[name] = "no wall has room for it before the plate and its parts"
            continue
        walls[found[0]][name] = found[1]
        parts_there.append(on_wall(box, *found))
        wanted += [solid for _, solid in wall_space(box, *found)]
    return {wall: placed for wall, placed in walls.items() if placed}, unplaced


def _is_free(solid: Solid, taken: Sequence[Solid]) -> bool:
    return not any(solid.meets(other, AIR) for other in taken)


def _has_space(box: Box, spot: tuple[Wall, Placed], others: Sequence[Solid], wanted: Sequence[Solid]) -> bool:
    """Whether a part there has the free space that it wants, and takes none of that of others."""
    solid = on_wall(box, *spot)
    mine = [room for _, room in wall_space(box, *spot)]
    return not any(room.meets(other) for room in mine for other in others) and not any(map(solid.meets, wanted))


def _liked(box: Box, part: Part, outline: Outline) -> Sequence[Wall]:
    """The walls in the order in which a builder would try them; common practice, no source.

    What a cable comes in by stands where cables enter, what is hot on the roof, the rest away from the hinge first.
    """
    if part.data.wall is not None:
        return (part.data.wall,)
    sides: tuple[Wall, ...] = ("right", "left") if box.hinge == "left" else ("left", "right")
    order: tuple[Wall, ...] = (*sides, "top", "bottom")
    if isinstance(part.data, Inlet | Connector):
        order = (box.entry, *order)
    elif outline.zone and outline.heat_w >= HOT_W:
        order = ("top", *order)
    return tuple(dict.fromkeys(order))


def _spots(box: Box, wall: Wall, name: str, outline: Outline) -> Iterator[Placed]:
    """Places on a wall: sides from below, as cool air comes in there; else from the middle; always midway in depth."""
    area = wall_area(box, wall)
    across = _steps(area.width - outline.width, middle=True)
    upwards = _steps(area.height - outline.height, middle=wall in ("top", "bottom"))
    if wall in ("left", "right"):
        spots: Iterator[tuple[float, float]] = product(upwards, across)
        yield from (Placed(name, outline, x, y) for y, x in spots)
    else:
        yield from (Placed(name, outline, x, y) for x, y in product(across, upwards))


def _steps(room: float, *, middle: bool) -> list[float]:
    """Where a part may begin on a line that is so much longer than the part, the liked places first."""
    first, last = RIM, room - RIM
    if last < first - SAME:
        return []
    step = max(_STEP, (last - first) / _MOST_STEPS)
    found = [round(first + n * step, 1) for n in range(int((last - first) / step + 1e-9) + 1)]
    half = round(room / 2, 1)
    return sorted({*found, half, round(last, 1)}, key=lambda at: (abs(at - half), at)) if middle else found
