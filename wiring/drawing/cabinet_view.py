"""The cabinet to scale: its plate, its door and its side, drawn from a layout."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from wiring.book_words import cut_words
from wiring.cabinet.box import PLATE_STAND_OFF
from wiring.cabinet.door import HANDLE, front_of, shaft_area
from wiring.cabinet.records import Area, Layout, Placed
from wiring.drawing.shapes import (
    ASCENT,
    DESCENT,
    TEXT,
    Box,
    Group,
    Oval,
    Pen,
    Shape,
    Text,
    rectangle,
    text_width,
)
from wiring.drawing.symbols.glyph import stroke

#: Scales of reduction: those of ISO 5455, from memory, and some between them.
_SCALES = (1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.5, 8.0, 10.0, 12.5, 15.0, 20.0, 50.0, 100.0, 1e3, 1e4, 1e5)
#: Height of a mounting rail [mm]: EN 60715, top hat rail 35.
_RAIL = 35.0
_AIR = 0.4


def scale_for(width_mm: float, height_mm: float, room: Box) -> float:
    """The largest view that fits."""
    fits = (n for n in _SCALES if width_mm / n <= room.width and height_mm / n <= room.height)
    return next(fits, _SCALES[-1])


class View(Struct, frozen=True):
    """A flat thing on paper: its lower left corner at (x, y) of the sheet, reduced by `scale`."""

    x: float
    y: float
    scale: float

    def box(self, area: Area) -> Box:
        """A rectangle on the sheet."""
        left, low = self.x + area.x / self.scale, self.y - area.y / self.scale
        return Box(left, low - area.height / self.scale, left + area.width / self.scale, low)

    def point(self, x: float, y: float) -> tuple[float, float]:
        """A point on the sheet."""
        return self.x + x / self.scale, self.y - y / self.scale


def dimension(x1: float, x2: float, y: float, text: str) -> list[Shape]:
    """A dimension below a view."""
    ends = [stroke((x, y - 1.5), (x, y + 1.5), pen=Pen.HAIR) for x in (x1, x2)]
    return [stroke((x1, y), (x2, y), pen=Pen.HAIR), *ends, Text((x1 + x2) / 2, y + 3.8, text, TEXT, "middle")]


def upright_dimension(x: float, y1: float, y2: float, text: str) -> list[Shape]:
    """A dimension to the right of a view."""
    ends = [stroke((x - 1.5, y), (x + 1.5, y), pen=Pen.HAIR) for y in (y1, y2)]
    return [stroke((x, y1), (x, y2), pen=Pen.HAIR), *ends, Text(x + 2.5, (y1 + y2) / 2 + 0.9, text)]


class Names:
    """Sets the names of parts on their board where they touch nothing; what finds no place is told in `left`."""

    def __init__(self, board: Box, obstacles: Sequence[Box]) -> None:
        self.taken: list[Box] = []
        self.board, self.obstacles = board, obstacles
        self.left: list[str] = []

    def put(self, text: str, spots: Sequence[tuple[float, float]]) -> Text | None:
        """The text about the first of some middles at which it is free."""
        half, rise = text_width(text) / 2, (ASCENT - DESCENT) * TEXT / 2
        for x, y in spots:
            box = Box(x - half - _AIR, y - ASCENT * TEXT / 2 - 0.6, x + half + _AIR, y + ASCENT * TEXT / 2 + 0.6)
            on_board = self.board.x1 <= box.x1 and box.x2 <= self.board.x2
            if (
                on_board
                and not any(_crosses(box, line) for line in (self.board, *self.obstacles))
                and not any(
                    box.x1 < one.x2 and one.x1 < box.x2 and box.y1 < one.y2 and one.y1 < box.y2 for one in self.taken
                )
            ):
                self.taken.append(box)
                return Text(x, y + rise, text, TEXT, "middle")
        self.left.append(text)
        return None


def _crosses(box: Box, line: Box) -> bool:
    """Whether the outline of a rectangle runs through a box."""
    meets = box.x1 < line.x2 and line.x1 < box.x2 and box.y1 < line.y2 and line.y1 < box.y2
    within = box.x1 >= line.x1 and box.x2 <= line.x2 and box.y1 >= line.y1 and box.y2 <= line.y2
    return meets and not within


def _runs(layout: Layout, view: View) -> Iterator[list[Placed]]:
    """Parts of a row that carry their names together: neighbours too narrow for their own, else each alone."""
    for row in layout.rows:
        run: list[Placed] = []
        for placed in (layout.plate[name] for name in row):
            narrow = placed.outline.width / view.scale < text_width(placed.name) + 2 * _AIR
            touching = bool(run) and placed.x - run[-1].area.right < 2.0 * view.scale
            if run and not (narrow and touching):
                yield run
                run = []
            run.append(placed)
            if not narrow:
                yield run
                run = []
        if run:
            yield run
    rowless = {name for row in layout.rows for name in row}
    yield from ([placed] for name, placed in layout.plate.items() if name not in rowless)


def run_name(names: Sequence[str]) -> str:
    """Names side by side in few words: those that count on are told from … to."""
    groups: list[list[str]] = []
    for name in names:
        if groups and _counts_on(groups[-1][-1], name):
            groups[-1].append(name)
        else:
            groups.append([name])
    return ", ".join(group[0] if len(group) == 1 else f"{group[0]}…{group[-1]}" for group in groups)


def _counts_on(one: str, two: str) -> bool:
    stem = one.rstrip("0123456789")
    return one != stem and two == f"{stem}{int(one.removeprefix(stem)) + 1}"


def _drilled(placed: Placed, holes: Mapping[str, bool]) -> Pen:
    """Dashed where the part is screwed on and the plan gives no holes."""
    return Pen.SYMBOL if placed.outline.mount == "rail" or holes.get(placed.name) else Pen.LINK


def plate_groups(layout: Layout, view: View, holes: Mapping[str, bool]) -> tuple[list[Group], list[str]]:
    """The plate with ducts, rails, parts, and the names that found no place; `holes` says which parts have theirs."""
    box = layout.box
    plate = view.box(Area(0.0, 0.0, box.plate_width, box.plate_height))
    groups = [Group("enclosure", "plate", (rectangle(plate, Pen.FRAME),), (("what", "plate"),))]
    for duct in layout.ducts:
        data = (("what", "duct"), ("run", duct.run), ("scale", f"{view.scale:g}"))
        groups.append(Group("enclosure", duct.name, (rectangle(view.box(duct.area), Pen.HAIR),), data))
    groups += [Group("enclosure", name, shapes, (("what", "rail"),)) for name, shapes in _rail_shapes(layout, view)]
    for name, placed in layout.plate.items():
        shapes: tuple[Shape, ...] = (rectangle(view.box(placed.area), _drilled(placed, holes)),)
        groups.append(Group("enclosure", name, shapes, (("what", "part"),)))
    obstacles = [view.box(one.area) for one in layout.ducts]
    names = Names(plate, [*obstacles, *(view.box(one.area) for one in layout.plate.values())])
    texts = [text for run in _runs(layout, view) if (text := _name_of(run, view, names)) is not None]
    groups.append(Group("enclosure", "names", tuple(texts), (("what", "names"),)))
    return groups, names.left


def _name_of(run: Sequence[Placed], view: View, names: Names) -> Text | None:
    """The name within a part or above or below a run, in the room for bending."""
    first, last = view.box(run[0].area), view.box(run[-1].area)
    x = (first.x1 + last.x2) / 2
    top, foot = min(first.y1, last.y1), max(first.y2, last.y2)
    within = [(x, (first.y1 + first.y2) / 2)] if len(run) == 1 else []
    heights = [top - 2.0, top - 4.5, foot + 2.0, foot + 4.5]
    beside = [(x + aside, y) for aside in (0.0, 2.5, -2.5, 5.0, -5.0) for y in heights]
    return names.put(run_name([one.name for one in run]), [*within, *beside])


def _rail_shapes(layout: Layout, view: View) -> Iterator[tuple[str, tuple[Shape, ...]]]:
    """Rails where no part covers them."""
    for rail in layout.rails:
        area = Area(rail.x, rail.y - _RAIL / 2, rail.length, _RAIL)
        covers = sorted((p.x, p.area.right) for p in layout.plate.values() if p.area.meets(area))
        pieces, x = [], area.x
        for left, right in [*covers, (area.right, area.right)]:
            if left - x > view.scale:
                pieces.append(rectangle(view.box(Area(x, area.y, left - x, _RAIL)), Pen.HAIR))
            x = max(x, right)
        yield rail.name, tuple(pieces)


def door_groups(layout: Layout, view: View) -> tuple[list[Group], list[str]]:
    """The door from the front with operators and the handle of the main switch."""
    box = layout.box
    outline = view.box(Area(0.0, 0.0, box.width, box.height))
    hinge = outline.x1 if box.hinge == "left" else outline.x2
    towards = 1.5 if box.hinge == "left" else -1.5
    hinges: list[Shape] = [
        stroke((hinge + towards, y - 3.0), (hinge + towards, y + 3.0), pen=Pen.POWER)
        for y in (outline.y1 + 8.0, outline.y2 - 8.0)
    ]
    groups = [Group("enclosure", "door", (rectangle(outline, Pen.FRAME), *hinges), (("what", "door"),))]
    areas = {name: placed.area for name, placed in layout.door.items()}
    boxes = [view.box(area) for area in areas.values()]
    for name, area in areas.items():
        groups.append(Group("enclosure", name, (rectangle(view.box(area)),), (("what", "operator"),)))
    for name in layout.shafts:
        area = shaft_area(box, layout.plate[name])
        areas[name] = area
        x, y = view.point(area.x + HANDLE / 2, area.y + HANDLE / 2)
        radius = HANDLE / 2 / view.scale
        cross = [stroke((x - 2, y), (x + 2, y), pen=Pen.HAIR), stroke((x, y - 2), (x, y + 2), pen=Pen.HAIR)]
        shapes: tuple[Shape, ...] = (Oval(x, y, radius, radius), *cross)
        groups.append(Group("enclosure", f"{name} handle", shapes, (("what", "handle"),)))
        boxes.append(view.box(area))
    names = Names(outline, boxes)
    texts = []
    for name, area in areas.items():
        spot = view.box(area)
        x = (spot.x1 + spot.x2) / 2
        found = names.put(name, [(x, spot.y2 + 2.2), (x, spot.y1 - 2.2), (x, spot.y2 + 4.8)])
        texts += [found] if found else []
    groups.append(Group("enclosure", "door names", tuple(texts), (("what", "names"),)))
    return groups, names.left


def side_groups(layout: Layout, view: View) -> list[Group]:
    """A section from the side: the back wall at the left, the plate, what stands on it, operators on the door.

    What hangs on the side walls is dashed.
    """
    box = layout.box
    dy = box.offset[1]
    body = rectangle(view.box(Area(0.0, 0.0, box.depth, box.height)), Pen.FRAME)
    plate = rectangle(view.box(Area(PLATE_STAND_OFF - 2.0, dy, 2.0, box.plate_height)), Pen.HAIR)
    shapes: list[Shape] = [body, plate]
    for one in layout.plate.values():
        depth = front_of(one.outline) - one.outline.front - PLATE_STAND_OFF
        shapes.append(rectangle(view.box(Area(PLATE_STAND_OFF, one.y + dy, depth, one.outline.height)), Pen.HAIR))
    hung = [one for wall, placed in layout.walls.items() if wall in ("left", "right") for one in placed.values()]
    shapes += [rectangle(view.box(one.area), Pen.LINK) for one in hung]
    for placed in layout.door.values():
        depth = placed.outline.depth
        area = Area(box.depth - depth, placed.y, depth, placed.outline.height)
        shapes.append(rectangle(view.box(area), Pen.SYMBOL))
    return [Group("enclosure", "side", _once(shapes), (("what", "side"),))]


def _once(shapes: Sequence[Shape]) -> tuple[Shape, ...]:
    """Each shape once: equal parts of a row cover each other from the side."""
    return tuple(dict.fromkeys(shapes))


def dimensioned(view: View, width: float, height: float, name: str, book: str) -> Group:
    """The outer dimensions of a view, in the units of a rulebook."""
    box = view.box(Area(0.0, 0.0, width, height))
    shapes = [*dimension(box.x1, box.x2, box.y2 + 4.0, cut_words(width, book))]
    shapes += upright_dimension(box.x2 + 4.0, box.y1, box.y2, cut_words(height, book))
    return Group("enclosure", f"{name} dimensions", tuple(shapes), (("what", "dimensions"),))
