"""A layout written into its plan: the positions of parts, the rails and the ducts, as edits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.cabinet.records import Layout
from wiring.cabinet.walls import placed_on_walls
from wiring.parts.base import Part
from wiring.plan.edits import Edit, SetValue, scalar
from wiring.plan.models import PlanFile

_INDENT = "\n          "


def position_edits(layout: Layout, parts: Mapping[str, Part], plan: PlanFile) -> list[Edit]:
    """What writes a layout; positions, rails and ducts that the plan gives stay as they are."""
    edits: list[Edit] = []
    enclosure = plan.enclosure
    if enclosure is None or enclosure.size is None:
        size = f"{layout.box.width:g} x {layout.box.height:g} x {layout.box.depth:g} mm"
        edits.append(
            SetValue(("enclosure", "size") if enclosure else ("enclosure",), size if enclosure else f"{{size: {size}}}")
        )
    if layout.rails and not (enclosure and enclosure.rails):
        rails = [
            f"{scalar(one.name)}: {{at: {_spot(one.x, one.y)}, length: {one.length:g} mm}}" for one in layout.rails
        ]
        edits.append(SetValue(("enclosure", "rails"), _mapping(rails)))
    if layout.ducts and not (enclosure and enclosure.ducts):
        ducts = [
            f"{scalar(one.name)}: {{at: {_spot(one.x, one.y)}, length: {one.length:g} mm, "
            f"size: {one.width:g} x {one.depth:g} mm, run: {one.run}}}"
            for one in layout.ducts
        ]
        edits.append(SetValue(("enclosure", "ducts"), _mapping(ducts)))
    for wall, placed in placed_on_walls(layout):
        if parts[placed.name].data.wall is None:
            edits.append(SetValue(("parts", placed.name, "wall"), wall))
    for board in layout.boards.values():
        for placed in board.values():
            if parts[placed.name].data.position is None:
                edits.append(SetValue(("parts", placed.name, "position"), _spot(placed.x, placed.y)))
    return edits


def _spot(x: float, y: float) -> str:
    return f"{x:g} x {y:g} mm"


def _mapping(entries: Sequence[str]) -> str:
    return "{" + f",{_INDENT}".join(entries) + "}"
