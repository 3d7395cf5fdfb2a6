"""Everything that is asked of the cabinet of one plan: its layout or why there is none, and what would hold it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from msgspec import Struct

from wiring.cabinet.blocks import bodies_of, outlines_of
from wiring.cabinet.box import box_of, has_box, style_of, usual_boxes_for
from wiring.cabinet.door import AIR, front_of
from wiring.cabinet.given import completed
from wiring.cabinet.layout import MOST_PARTS, lay_out
from wiring.cabinet.lengths import Courses
from wiring.cabinet.positions import has_positions
from wiring.cabinet.records import Box, Layout, NoRoom
from wiring.cabinet.rows import needed_height, pack, packings
from wiring.circuit.model import Circuit


class Study(Struct, frozen=True, dict=True):
    """The cabinet of a circuit. Where the plan gives no size, it is the smallest usual one that holds the parts."""

    circuit: Circuit
    lay_out: Callable[[Circuit, Box | None], Layout | NoRoom | int] = lay_out

    @cached_property
    def is_given(self) -> bool:
        """Whether the plan says itself where parts stand."""
        return has_positions(self.circuit)

    @cached_property
    def count(self) -> int:
        """Parts that stand in rows on the plate."""
        return len(bodies_of(self.circuit, outlines_of(self.circuit.parts)))

    @property
    def is_too_many(self) -> bool:
        """Whether the parts are a line of cabinets and not one."""
        return self.count > MOST_PARTS

    @cached_property
    def found(self) -> Layout | NoRoom | None:
        """The layout, why there is none in this cabinet, or None where no usual cabinet holds so many parts."""
        if self.is_too_many:
            return None
        if self.is_given:
            return completed(self.circuit)
        box = box_of(self.circuit.plan) if has_box(self.circuit.plan) else self.smallest
        found = self.lay_out(self.circuit, box) if box is not None else None
        return None if isinstance(found, int) else found

    @property
    def layout(self) -> Layout | None:
        """The layout, None where there is none."""
        return self.found if isinstance(self.found, Layout) else None

    @cached_property
    def courses(self) -> Courses | None:
        """The ways of all conductors in the layout."""
        return Courses(self.layout, self.circuit) if self.layout is not None else None

    @cached_property
    def smallest(self) -> Box | None:
        """The smallest usual cabinet that holds all parts, on the plate, in depth and on the door."""
        outlines = outlines_of(self.circuit.parts)
        bodies, style = bodies_of(self.circuit, outlines), style_of(self.circuit.plan)
        area = sum(body.outline.width * body.outline.height for body in bodies)
        for box in usual_boxes_for(self.circuit.plan) if not self.is_too_many else ():
            if box.plate_width * box.plate_height < area or isinstance(pack(style, box, bodies, outlines), NoRoom):
                continue
            if _holds(self.lay_out(self.circuit, box)):
                return box
        return None

    @property
    def holds(self) -> bool:
        """Whether all parts have their place in the cabinet of the plan: on the plate, in depth and on the door."""
        return _holds(self.layout)

    @cached_property
    def needed(self) -> float | None:
        """Height of plate that the parts need in rows of this plate's width [mm]."""
        if not has_box(self.circuit.plan) or self.is_too_many:
            return None
        outlines = outlines_of(self.circuit.parts)
        bodies, style = bodies_of(self.circuit, outlines), style_of(self.circuit.plan)
        found = packings(style, box_of(self.circuit.plan), bodies, outlines)
        return min(needed_height(style, one) for one in found)


def _holds(layout: Layout | NoRoom | int | None) -> bool:
    return isinstance(layout, Layout) and not layout.unplaced and depth_needed(layout) <= layout.box.depth


def depth_needed(layout: Layout) -> float:
    """Depth of cabinet for the deepest part on the plate, with the door shut and nothing on it [mm]."""
    return max((front_of(one.outline) + AIR for one in layout.plate.values()), default=0.0)
