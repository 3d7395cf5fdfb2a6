"""A cabinet laid out: rectangles, rails, ducts, and what stands where. Data only, all in mm."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Literal, get_args

from msgspec import Struct, field

from wiring.parts.outlines import Outline

Wall = Literal["left", "right", "top", "bottom"]
WALLS: tuple[Wall, ...] = get_args(Wall)
#: Lengths count as equal within this [mm].
SAME = 0.05


class Area(Struct, frozen=True):
    """A rectangle from its lower left corner."""

    x: float
    y: float
    width: float
    height: float

    @property
    def sides(self) -> tuple[float, float, float, float]:
        """Its lower left corner, width and height."""
        return self.x, self.y, self.width, self.height

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.x + self.width

    @property
    def top(self) -> float:
        """Its upper edge."""
        return self.y + self.height

    def widened(self, sides: float, above: float, below: float) -> Area:
        """The same with free space around it."""
        return Area(self.x - sides, self.y - below, self.width + 2 * sides, self.height + above + below)

    def meets(self, other: Area) -> bool:
        """Whether the two have an inner point in common."""
        across = min(self.right, other.right) - max(self.x, other.x)
        up = min(self.top, other.top) - max(self.y, other.y)
        return across > SAME and up > SAME

    def holds(self, other: Area) -> bool:
        """Whether the other one lies within."""
        return (
            other.x >= self.x - SAME
            and other.y >= self.y - SAME
            and other.right <= self.right + SAME
            and other.top <= self.top + SAME
        )


class Placed(Struct, frozen=True):
    """A part with its lower left corner."""

    name: str
    outline: Outline
    x: float
    y: float

    @property
    def area(self) -> Area:
        """What it covers."""
        return Area(self.x, self.y, self.outline.width, self.outline.height)


class RailPiece(Struct, frozen=True):
    """A mounting rail; (x, y) is its left end on its middle line."""

    name: str
    x: float
    y: float
    length: float


class DuctPiece(Struct, frozen=True):
    """A wiring duct from its lower left corner, `width` as seen from the front."""

    name: str
    x: float
    y: float
    length: float
    width: float
    depth: float
    run: Literal["across", "up"]

    @property
    def area(self) -> Area:
        """What it covers."""
        size = (self.length, self.width) if self.run == "across" else (self.width, self.length)
        return Area(self.x, self.y, *size)

    @property
    def middle(self) -> float:
        """Where its middle line lies: a height for one across, a distance from the left for one upwards."""
        return (self.y if self.run == "across" else self.x) + self.width / 2

    @property
    def ends(self) -> tuple[float, float]:
        """Where its middle line begins and ends."""
        start = self.x if self.run == "across" else self.y
        return start, start + self.length


class Style(Struct, frozen=True):
    """How densely a cabinet is built [mm]; the figures are common practice without a source."""

    duct_width: float = 40.0
    duct_depth: float = 60.0
    bending: float = 30.0
    spare: float = 0.2
    foot: float = 60.0
    partition: float = 30.0
    edge: float = 5.0


class Box(Struct, frozen=True):
    """The cabinet around the plate, outside, and the plate itself."""

    width: float
    height: float
    depth: float
    plate_width: float
    plate_height: float
    hinge: Literal["left", "right"] = "left"
    entry: Wall = "bottom"

    @property
    def offset(self) -> tuple[float, float]:
        """Where the corner of the plate lies, seen from that of the cabinet: the plate stands in its middle."""
        return (self.width - self.plate_width) / 2, (self.height - self.plate_height) / 2

    def words(self, book: str) -> str:
        """The outer size as a plan writes it: in inches in North America."""
        unit, unit_mm = ("in", 25.4) if book == "na" else ("mm", 1.0)
        width, height, depth = (f"{value / unit_mm:.6g}" for value in (self.width, self.height, self.depth))
        return f"{width} x {height} x {depth} {unit}"


class Layout(Struct, frozen=True, dict=True):
    """What stands where. `rows` are the names on the plate from above, `unplaced` what found no place and why."""

    box: Box
    style: Style
    rails: tuple[RailPiece, ...]
    ducts: tuple[DuctPiece, ...]
    plate: Mapping[str, Placed]
    door: Mapping[str, Placed]
    walls: Mapping[Wall, Mapping[str, Placed]]
    rows: tuple[tuple[str, ...], ...]
    shafts: tuple[str, ...] = ()
    unplaced: Mapping[str, str] = field(default_factory=dict)
    mixed: bool = False

    @cached_property
    def outlines(self) -> Mapping[str, Outline]:
        """Every part that has its place in or on the cabinet, with its outline."""
        return {one.name: one.outline for placed in self.boards.values() for one in placed.values()}

    @property
    def boards(self) -> Mapping[str, Mapping[str, Placed]]:
        """What stands on the plate, on the door and on each wall, by the name of that board."""
        return {"plate": self.plate, "door": self.door, **{f"{wall} wall": one for wall, one in self.walls.items()}}


class NoRoom(Struct, frozen=True):
    """Why the parts do not fit: the row and the part at fault, and how much is missing.

    `needed` is the height or width that the plate, or the depth that the cabinet would need; `has` what it has.
    """

    needed: float
    has: float
    row: tuple[str, ...]
    part: str
    side: Literal["height", "width", "depth"] = "height"

    @property
    def lacking(self) -> float:
        """What is missing [mm]."""
        return self.needed - self.has

    def __str__(self) -> str:
        if self.side != "height":
            asked = "a plate {:.0f} mm wide" if self.side == "width" else "a cabinet {:.0f} mm deep"
            more = f"{self.lacking:.0f} mm more than there is ({self.has:.0f} mm)"
            return f"{self.part} asks for {asked.format(self.needed)}, {more}"
        return (
            f"the row {', '.join(self.row)}. The rows need {self.needed:.0f} mm of height and the plate has "
            f"{self.has:.0f} mm, {self.lacking:.0f} mm too few; {self.part} sets the height of that row"
        )
