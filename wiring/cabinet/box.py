"""The box that a plan gives and the usual cabinets that are sold."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from msgspec.structs import replace

from wiring.cabinet.records import Box, Style
from wiring.plan.models import PlanFile
from wiring.plan.site import Enclosure

#: What a plate is narrower and lower than its cabinet outside [mm], metric and in inches; from memory.
_PLATE_MARGIN_MM = {"mm": (51.0, 30.0), "in": (76.2, 76.2)}
#: From the back wall to the front of the plate, and from the plate to the front of a rail [mm]; from memory.
PLATE_STAND_OFF, RAIL_DEPTH = 25.0, 15.0


def mm(metres: float) -> float:
    """Metres in mm, without the last digits of the conversion."""
    return round(1000.0 * metres, 3)


def _system(plan: PlanFile) -> str:
    return "in" if plan.rulebook == "na" else "mm"


def has_box(plan: PlanFile) -> bool:
    """Whether the plan gives the size of its cabinet."""
    return plan.enclosure is not None and plan.enclosure.size is not None


def box_of(plan: PlanFile) -> Box:
    """The cabinet of a plan that gives its size; a plate that is not given is as much smaller as usual."""
    enclosure = plan.enclosure
    assert enclosure is not None, "the plan has a cabinet"
    assert enclosure.size is not None, "the plan gives the size of its cabinet"
    width, height, depth = (mm(value) for value in (enclosure.size.width, enclosure.size.height, enclosure.size.depth))
    margin = _PLATE_MARGIN_MM[_system(plan)]
    plate = (mm(enclosure.plate.width), mm(enclosure.plate.height)) if enclosure.plate else None
    across, up = plate or (max(width - margin[0], 1.0), max(height - margin[1], 1.0))
    return Box(width, height, depth, across, up, enclosure.hinge or "left", enclosure.entry or "bottom")


def style_of(plan: PlanFile) -> Style:
    """The usual style with the spare that the plan asks for."""
    spare = plan.enclosure.spare if plan.enclosure else None
    return Style() if spare is None else Style(spare=min(spare, 0.95))


@cache
def usual_boxes(system: str) -> tuple[Box, ...]:
    """The usual cabinets of a system, "mm" or "in", the smallest front first. Common practice, plates from memory."""
    with Path(__file__).with_name("cabinets.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["system"] == system]
    keys = ("width_mm", "height_mm", "depth_mm", "plate_width_mm", "plate_height_mm")
    boxes = [_usual(*(float(row[key]) for key in keys)) for row in rows]
    return tuple(sorted(boxes, key=lambda box: (box.width * box.height, box.width, box.depth)))


def _usual(width: float, height: float, depth: float, plate_width: float, plate_height: float) -> Box:
    return Box(width, height, depth, plate_width, plate_height)


def usual_boxes_for(plan: PlanFile) -> Sequence[Box]:
    """The usual cabinets of the builder's part of the world, with the door and the entry that the plan wants."""
    enclosure = plan.enclosure or Enclosure()
    turned = {"hinge": enclosure.hinge or "left", "entry": enclosure.entry or "bottom"}
    return [replace(box, **turned) for box in usual_boxes(_system(plan))]
