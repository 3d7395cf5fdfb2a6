"""The door over the plate: operators where nothing deep stands behind them, and the shaft of the main switch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from wiring.cabinet.box import PLATE_STAND_OFF, RAIL_DEPTH, mm
from wiring.cabinet.records import SAME, Area, Box, Placed
from wiring.parts.base import Part
from wiring.parts.outlines import Outline
from wiring.parts.protection import Disconnector
from wiring.plan.site import Enclosure

#: Free rim of the door, room between operators, and air between an operator and what is behind it [mm]; own choice.
RIM, _BETWEEN, AIR = 40.0, 20.0, 10.0
#: Operators begin at this share of the height of the door where its height above the floor is not given; own choice.
_UPPER = 0.85
#: Places are tried so far apart [mm], and no more of them along a door than this.
_STEP, _MOST_STEPS = 10.0, 200
#: What the handle of a main switch takes on the door [mm]: IEC 60947-3 handles of small sizes, from memory.
HANDLE = 65.0
#: Between which heights above the floor operators are laid out where the plan says how high the cabinet hangs [mm].
_REACH = (600.0, 1900.0)


def front_of(outline: Outline) -> float:
    """How far a part on the plate reaches in front of the back wall, with the free space that it wants [mm]."""
    rail = RAIL_DEPTH if outline.mount == "rail" else 0.0
    return PLATE_STAND_OFF + rail + outline.depth + outline.front


def shafts_of(parts: Mapping[str, Part], plate: Mapping[str, Placed]) -> tuple[str, ...]:
    """The main switches on the plate, whose shafts go through the door."""
    return tuple(name for name in plate if isinstance(parts[name].data, Disconnector))


def shaft_area(box: Box, switch: Placed) -> Area:
    """Where the handle of a switch on the plate is on the door."""
    dx, dy = box.offset
    x, y = switch.x + switch.outline.width / 2 + dx, switch.y + switch.outline.height / 2 + dy
    return Area(x - HANDLE / 2, y - HANDLE / 2, HANDLE, HANDLE)


def behind(box: Box, area: Area, plate: Mapping[str, Placed]) -> Iterator[Placed]:
    """What stands on the plate behind a place on the door."""
    dx, dy = box.offset
    for one in plate.values():
        seen = Area(one.x + dx, one.y + dy, one.outline.width, one.outline.height)
        if seen.meets(area):
            yield one


def too_deep(box: Box, outline: Outline, area: Area, plate: Mapping[str, Placed]) -> list[str]:
    """The parts on the plate that an operator at that place would touch with the door shut."""
    room = box.depth - outline.depth - AIR
    return [one.name for one in behind(box, area, plate) if front_of(one.outline) > room + SAME]


def door_places(
    box: Box,
    plate: Mapping[str, Placed],
    outlines: Mapping[str, Outline],
    shafts: Sequence[str],
    enclosure: Enclosure | None,
    given: Mapping[str, Placed] | None = None,
) -> tuple[dict[str, Placed], dict[str, str]]:
    """The operators on the door, by name from above and from the left, and those without a place, with why.

    Those of `given` stand where they are.
    """
    placed: dict[str, Placed] = dict(given or {})
    taken = [*(shaft_area(box, plate[name]) for name in shafts), *(one.area for one in placed.values())]
    unplaced: dict[str, str] = {}
    wanted = {name: one for name, one in outlines.items() if one.mount == "door" and name not in placed}
    for name in sorted(wanted, key=lambda one: (wanted[one].depth, list(wanted).index(one))):
        outline = wanted[name]
        for x, y in _spots(box, outline, enclosure):
            area = Area(x, y, outline.width, outline.height)
            free = area.widened(_BETWEEN, _BETWEEN, _BETWEEN)
            if any(free.meets(other) for other in taken) or too_deep(box, outline, area, plate):
                continue
            placed[name] = Placed(name, outline, x, y)
            taken.append(area)
            break
        else:
            unplaced[name] = _why(box, outline, plate)
    return placed, unplaced


def _why(box: Box, outline: Outline, plate: Mapping[str, Placed]) -> str:
    deepest = max(plate.values(), key=lambda one: front_of(one.outline), default=None)
    if deepest is not None and front_of(deepest.outline) + outline.depth + AIR > box.depth + SAME:
        needed = front_of(deepest.outline) + outline.depth + AIR
        return f"{deepest.name} behind the door is too deep: {needed:g} mm of depth are needed, {box.depth:g} are there"
    return "the door is full"


def _spots(box: Box, outline: Outline, enclosure: Enclosure | None) -> Iterator[tuple[float, float]]:
    """Places on the door from above, each line from the left, in reach where the height of the cabinet is given."""
    height = enclosure.height if enclosure else None
    step = max(_STEP, box.width / _MOST_STEPS, box.height / _MOST_STEPS)
    low, high = RIM, min(box.height - RIM, _UPPER * box.height) - outline.height
    if height is not None:
        low = max(low, _REACH[0] - mm(height))
        high = min(box.height - RIM, _REACH[1] - mm(height)) - outline.height
    y = high
    while y >= low - SAME:
        x = RIM
        while x + outline.width <= box.width - RIM + SAME:
            yield x, y
            x += step
        y -= step
