"""How large a part is and what it is mounted on: as the plan says, else typical of its kind and rating.

Typical outlines stand in `outlines.csv`, each with its standing: most are what the trade builds or from memory. Holes
are never typical.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from functools import cache
from math import ceil, inf
from pathlib import Path
from typing import Literal

from msgspec import Struct

from wiring.parts.base import Part
from wiring.plan.records import WireSizeRange

Mount = Literal["rail", "plate", "foot", "wall", "door"]
#: A part from which at least so much heat goes off is hot for what stands above it [W]; own choice, no source.
HOT_W = 5.0
_INSIDE = ("cabinet", "door")
_Row = Mapping[str, str]


class Outline(Struct, frozen=True):
    """A part as it is mounted; all lengths in mm. Free space is that which it wants.

    `standing` is that of its size: "given", "allowance" for a part of which nothing is known, or what its typical
    size rests on. `zone` is what it belongs beside, "" for what stands on no plate; `heat_w` is typical of its class.
    """

    width: float
    height: float
    depth: float
    mount: Mount
    above: float
    below: float
    sides: float
    front: float
    zone: str
    heat_w: float
    standing: str
    clearance_given: bool

    @property
    def is_allowance(self) -> bool:
        """Whether nothing is known of its size."""
        return self.standing == "allowance"


@cache
def _rows() -> Mapping[tuple[str, str], Sequence[_Row]]:
    found: dict[tuple[str, str], list[_Row]] = {}
    with Path(__file__).with_name("outlines.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            found.setdefault((row["what"], row["name"]), []).append(row)
    return found


def _measure(part: Part, by: str) -> float | None:
    """What the typical size of a kind goes by, None where the plan does not say it."""
    data = part.data
    match by:
        case "terminals":
            return len(part.terminals)
        case "contacts":
            return len(getattr(data, "contacts", ()))
        case "clamp":
            return data.sizes.high.area_mm2 if isinstance(data.sizes, WireSizeRange) else None
        case "supply":
            return getattr(getattr(data, "supply", None), "high", None)
        case "watts":
            volts, amps = getattr(data, "output", None), getattr(data, "rated", None)
            return volts.volts * amps if volts and amps else None
    value = getattr(data, by, None)
    return value if isinstance(value, float) else None


def _typical(part: Part) -> _Row | None:
    rows = _rows().get(("library", part.library)) or _rows().get(("kind", part.kind), ())
    of_class = str(getattr(part.data, "class_", None) or "")
    rows = [row for row in rows if not row["classes"] or of_class in row["classes"].split()]
    if not rows:
        return None
    fitting = [row for row in rows if row["by"] and _reaches(part, row)]
    if fitting:
        return min(fitting, key=lambda row: float(row["up_to"] or inf))
    return next((row for row in rows if not row["by"]), rows[0])


def _reaches(part: Part, row: _Row) -> bool:
    value = _measure(part, row["by"])
    return value is not None and value <= float(row["up_to"] or inf) * (1 + 1e-9)


def _mount(part: Part, typical: str) -> Mount | None:
    """What a part is mounted on; None for one that is outside, on the machine, or carried by another part."""
    if part.data.at not in _INSIDE or (typical == "none" and part.data.size is None):
        return None
    if part.data.at == "door":
        return "door"
    if part.data.mount is not None:
        return part.data.mount
    beside = {"door": "wall", "none": "plate"}  # a lamp in the cabinet stands on its wall or roof
    return beside.get(typical, typical)  # type: ignore[return-value]


def outline_of(part: Part) -> Outline | None:
    """The outline of a part that takes up room in or on the cabinet; None for any other."""
    row = _typical(part)
    mount = _mount(part, row["mount"] if row else "none")
    if row is None or mount is None:
        return None
    count = ceil(len(part.terminals) / float(row["per_terminals"] or 1)) if float(row["per_terminals"] or 0) else 0
    width = round(float(row["width_mm"]) + float(row["pitch_mm"]) * count, 3)
    height, depth, standing = float(row["height_mm"]), float(row["depth_mm"]), row["standing"]
    size, free = part.data.size, part.data.clearance
    if size is not None:
        width, height, depth = (round(1000 * value, 3) for value in (size.width, size.height, size.depth))
        standing = "given"
    above, below, sides, front = float(row["above_mm"]), float(row["below_mm"]), float(row["sides_mm"]), 0.0
    if free is not None:
        around = (free.above, free.below, free.sides, free.front)
        above, below, sides, front = (round(1000 * value, 3) for value in around)
    heat_w = part.data.heat if part.data.heat is not None else float(row["heat_w"])
    return Outline(
        width=width,
        height=height,
        depth=depth,
        mount=mount,
        above=above,
        below=below,
        sides=sides,
        front=front,
        zone=row["zone"],
        heat_w=heat_w,
        standing=standing,
        clearance_given=free is not None,
    )
