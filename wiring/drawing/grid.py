"""The working model of one block: columns of items, lanes with the wire ends on them, and the pieces of the wires.

It is filled by `columns`, put in order by `order`, given rows by `place`; these alone change it.
"""

from __future__ import annotations

from msgspec import Struct, field

from wiring.drawing.problem import LEFT, RIGHT, End
from wiring.drawing.units import Form, Unit

#: Height of a row and the module of the grid [mm].
PITCH, MODULE = 5.0, 2.5


class LaneRow(Struct):
    """One lane with the wire ends on its left and right; `row` is that of its terminal."""

    index: int
    ends: tuple[list[End], list[End]] = field(default_factory=lambda: ([], []))
    row: int = 0

    @property
    def rows(self) -> int:
        """How many rows it takes: each wire end has one of its own."""
        return max(1, len(self.ends[LEFT]), len(self.ends[RIGHT]))


class Item(Struct):
    """A unit in a column, or the slot of a wire that passes (`unit` None)."""

    unit: Unit | None
    lanes: list[LaneRow]
    head: int = 0
    tail: int = 0

    @property
    def groups(self) -> list[list[LaneRow]]:
        """The lanes that keep their distance: all of a rigid unit, the tap of a shield and the core above it."""
        if self.unit is not None and self.unit.form in (Form.CIRCLE, Form.CHANGE_OVER):
            return [self.lanes]
        found: list[list[LaneRow]] = []
        for lane in self.lanes:
            keeps = self.unit is not None and self.unit.form in (Form.POINTS, Form.LANES)
            if found and self.unit is not None and keeps and self.unit.is_tap(lane.index):
                found[-1].append(lane)
            else:
                found.append([lane])
        return found


class Piece(Struct, frozen=True):
    """A wire in one channel: from `a` to `b`, each an end on a side of a column (column, end, side)."""

    wire: str
    channel: int
    a: tuple[int, End, int]
    b: tuple[int, End, int]

    @property
    def kind(self) -> str:
        """ "pass" from one column to the next, "left" or "right" where both ends are on one side of the channel."""
        if self.a[2] != self.b[2]:
            return "pass"
        return "left" if self.a[2] == RIGHT else "right"


class Grid(Struct):
    """The columns of a block with their items from top to bottom, and all pieces of wire by channel."""

    columns: list[list[Item]]
    pieces: list[Piece]

    def channels(self) -> list[list[Piece]]:
        """The pieces of each channel; channel n is left of column n."""
        found: list[list[Piece]] = [[] for _ in range(len(self.columns) + 1)]
        for piece in self.pieces:
            found[piece.channel].append(piece)
        return found

    def rows_of(self) -> dict[tuple[int, End, int], int]:
        """The row of every wire end, by column, end and side."""
        rows = {}
        for column, items in enumerate(self.columns):
            for item in items:
                for lane in item.lanes:
                    for side in (LEFT, RIGHT):
                        for n, end in enumerate(lane.ends[side]):
                            rows[column, end, side] = lane.row + n
        return rows
