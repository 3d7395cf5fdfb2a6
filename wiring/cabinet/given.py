"""The layout that a plan gives by the positions of its parts; what has none yet finds a place on the given rails."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from wiring.cabinet.blocks import Body, bodies_of, gap, outlines_of
from wiring.cabinet.box import box_of, mm, style_of
from wiring.cabinet.conflicts import conflicts_of
from wiring.cabinet.door import door_places, shafts_of
from wiring.cabinet.records import WALLS, Area, DuctPiece, Layout, Placed, RailPiece
from wiring.cabinet.walls import wall_places
from wiring.circuit.model import Circuit
from wiring.parts.base import Part
from wiring.parts.outlines import Outline
from wiring.plan.models import PlanFile

NO_POSITION, NO_WALL = "has no position", "has a position and no wall (`wall: left`)"


def _rails(plan: PlanFile) -> Iterator[RailPiece]:
    for name, rail in (plan.enclosure.rails if plan.enclosure else {}).items():
        yield RailPiece(name, mm(rail.at.x), mm(rail.at.y), mm(rail.length))


def _ducts(plan: PlanFile) -> Iterator[DuctPiece]:
    for name, duct in (plan.enclosure.ducts if plan.enclosure else {}).items():
        size = (mm(duct.size.width), mm(duct.size.height))
        yield DuctPiece(name, mm(duct.at.x), mm(duct.at.y), mm(duct.length), *size, duct.run)


def _placed(parts: Mapping[str, Part], outlines: Mapping[str, Outline], mounts: Sequence[str]) -> dict[str, Placed]:
    found = {}
    for name, outline in outlines.items():
        spot = parts[name].data.position
        if outline.mount in mounts and spot is not None:
            found[name] = Placed(name, outline, mm(spot.x), mm(spot.y))
    return found


def given_layout(circuit: Circuit) -> Layout:
    """What the plan says, for a plan that `has_positions`; parts without a position are unplaced."""
    outlines = outlines_of(circuit.parts)
    plate = _placed(circuit.parts, outlines, ("rail", "plate", "foot"))
    door = _placed(circuit.parts, outlines, ("door",))
    hung = _placed(circuit.parts, outlines, ("wall",))
    walls = {w: {n: one for n, one in hung.items() if circuit.parts[n].data.wall == w} for w in WALLS}
    there = {*plate, *door, *(name for placed in walls.values() for name in placed)}
    unplaced = {name: NO_WALL if name in hung else NO_POSITION for name in outlines if name not in there}
    return Layout(
        box_of(circuit.plan),
        style_of(circuit.plan),
        tuple(_rails(circuit.plan)),
        tuple(_ducts(circuit.plan)),
        plate,
        door,
        {wall: placed for wall, placed in walls.items() if placed},
        tuple(_rows(plate)),
        shafts_of(circuit.parts, plate),
        unplaced,
    )


def _rows(plate: Mapping[str, Placed]) -> Iterator[tuple[str, ...]]:
    """Parts side by side: those whose middles lie within the height of the first of them, rows from above."""
    in_rows = (one for one in plate.values() if one.outline.mount != "foot")
    left = sorted(in_rows, key=lambda one: (-(one.y + one.outline.height / 2), one.x, one.name))
    while left:
        first = left[0].area
        row = [one for one in left if first.y <= one.y + one.outline.height / 2 <= first.top]
        yield tuple(one.name for one in sorted(row, key=lambda one: (one.x, one.name)))
        left = [one for one in left if one not in row]


def completed(circuit: Circuit) -> Layout:
    """The given layout with a place for every part that fits on rails and door beside those that stand there."""
    layout = given_layout(circuit)
    bodies = {body.name: body for body in bodies_of(circuit, {**layout.outlines, **_missing(circuit, layout)})}
    for name in [one for one in layout.unplaced if one in bodies]:
        spot = next(_free_spots(layout, bodies, bodies[name]), None)
        if spot is not None:
            plate = {**layout.plate, name: Placed(name, bodies[name].outline, *spot)}
            unplaced = {one: why for one, why in layout.unplaced.items() if one != name}
            layout = replace(layout, plate=plate, rows=tuple(_rows(plate)), unplaced=unplaced)
    return _on_walls(circuit, _on_door(circuit, layout))


def _on_door(circuit: Circuit, layout: Layout) -> Layout:
    waiting = {name: outline for name, outline in _missing(circuit, layout).items() if outline.mount == "door"}
    if not waiting:
        return layout
    door, left = door_places(layout.box, layout.plate, waiting, layout.shafts, circuit.plan.enclosure, layout.door)
    unplaced = {name: left.get(name, why) for name, why in layout.unplaced.items() if name not in door}
    return replace(layout, door=door, unplaced=unplaced)


def _on_walls(circuit: Circuit, layout: Layout) -> Layout:
    """A part with a position and no wall is not moved: where it is meant to hang is asked."""
    missing = _missing(circuit, layout)
    waiting = {n: one for n, one in missing.items() if one.mount == "wall" and layout.unplaced[n] != NO_WALL}
    if not waiting:
        return layout
    walls, left = wall_places(layout, waiting, circuit.parts)
    there = {name for placed in walls.values() for name in placed}
    unplaced = {name: left.get(name, why) for name, why in layout.unplaced.items() if name not in there}
    return replace(layout, walls=walls, unplaced=unplaced)


def _missing(circuit: Circuit, layout: Layout) -> dict[str, Outline]:
    return {name: outline for name, outline in outlines_of(circuit.parts).items() if name in layout.unplaced}


def _free_spots(layout: Layout, bodies: Mapping[str, Body], body: Body) -> Iterator[tuple[float, float]]:
    """Places in the rows behind a part there, beside one of its own kind first, in conflict with nothing."""

    def liking(line: tuple[float, float, float]) -> tuple[bool, float]:
        beside = [bodies[one.name] for one in layout.plate.values() if one.name in bodies and _stands(one, line[0])]
        return all(one.group != body.group for one in beside), -line[0]

    for y, left, right in sorted(sorted(_lines(layout, body)), key=liking):
        starts = [left + layout.style.edge]
        for one in sorted(layout.plate.values(), key=lambda one: one.x):
            if one.name in bodies and _stands(one, y):
                starts.append(one.area.right + gap(layout.style, bodies[one.name], body))
        for x in starts:
            spot = Placed(body.name, body.outline, round(x, 1), round(y - body.outline.height / 2, 1))
            if spot.area.right <= right and not _in_the_way(layout, spot):
                yield spot.x, spot.y


def _lines(layout: Layout, body: Body) -> set[tuple[float, float, float]]:
    """The middles of rows in which a part may stand, each with its left and right end: rails, or the plate."""
    if body.outline.mount == "rail":
        return {(rail.y, rail.x, rail.x + rail.length) for rail in layout.rails}
    screwed = [one for one in layout.plate.values() if one.outline.mount == "plate"]
    return {(one.y + one.outline.height / 2, 0.0, layout.box.plate_width) for one in screwed}


def _stands(one: Placed, y: float) -> bool:
    return one.area.y < y < one.area.top


def _in_the_way(layout: Layout, spot: Placed) -> bool:
    tried = replace(layout, plate={**layout.plate, spot.name: spot})
    over = any(_hangs(spot, rail) for rail in layout.rails) and spot.outline.mount != "rail"
    return over or any(spot.name in one.names for one in conflicts_of(tried))


def _hangs(one: Placed, rail: RailPiece) -> bool:
    return one.area.meets(Area(rail.x, rail.y - 1.0, rail.length, 2.0))
