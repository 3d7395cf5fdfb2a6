"""The walls of the cabinet to scale, each with the parts that hang on it."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.cabinet.records import Layout, Wall
from wiring.cabinet.walls import wall_area
from wiring.drawing.cabinet_view import Names, View
from wiring.drawing.shapes import Group, Pen, rectangle
from wiring.parts.base import Part

#: How each wall is seen: so that its corner at the back, and on top and bottom at the left, is the lower left one.
WALL_WORDS: Mapping[Wall, str] = {
    "left": "Left wall from outside, the back at the left",
    "right": "Right wall from inside, the back at the left",
    "top": "Top from inside, the back below",
    "bottom": "Bottom from outside, the back below",
}


def wall_groups(layout: Layout, wall: Wall, view: View, parts: Mapping[str, Part]) -> list[Group]:
    """One wall and its parts, dashed where the plan gives no holes."""
    outline = view.box(wall_area(layout.box, wall))
    data = (("what", "wall"), ("wall", wall), ("scale", f"{view.scale:g}"))
    groups = [Group("enclosure", f"{wall} wall", (rectangle(outline, Pen.FRAME),), data)]
    boxes = {name: view.box(one.area) for name, one in layout.walls[wall].items()}
    for name, box in boxes.items():
        pen = Pen.SYMBOL if parts[name].data.holes else Pen.LINK
        groups.append(Group("enclosure", name, (rectangle(box, pen),), (("what", "wall part"), ("wall", wall))))
    names = Names(outline, tuple(boxes.values()))
    texts = []
    for name, box in boxes.items():
        x = (box.x1 + box.x2) / 2
        found = names.put(name, [(x, (box.y1 + box.y2) / 2), (x, box.y2 + 2.2), (x, box.y1 - 2.2)])
        texts += [found] if found else []
    groups.append(Group("enclosure", f"{wall} names", tuple(texts), (("what", "names"),)))
    return groups
