"""The units that are drawn: a coil, main poles, one contact, a section of a card, a protective pin.

A unit is a stack of lanes. A lane has at most one terminal on either side of the symbol.
"""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Node

#: Most lanes of one frame; a device with more is drawn in several.
MOST_LANES = 20


class Form(StrEnum):
    """How a unit is drawn."""

    LANES = "lanes"  # a glyph on every lane
    FRAME = "frame"  # a rectangle with the terminals inside its edges
    CIRCLE = "circle"  # a machine: a circle that the lanes reach from the left
    POINTS = "points"  # terminals; each lane is one point that is reached from both sides
    BOND = "bond"  # one protective pin with the name of its device behind it
    CHANGE_OVER = "change-over"  # one contact with a make and a break side


class Lane(Struct, frozen=True):
    """One line of a unit: the terminal at its left and right, and the glyph between them.

    `contact` is the contact or pole that it shows, as it is marked: 13-14.
    """

    left: Node | None
    right: Node | None
    glyph: str = ""
    contact: str = ""


class Unit(Struct, frozen=True):
    """One symbol on one sheet. `what` tells the units of a part apart; `sheet` is the function it belongs to.

    `notes` stand under the designation; `main` units list where the others of their part stand.
    `joined` says that the lanes are one potential, drawn as a bar; `bridge` tells the bridges of a strip apart.
    """

    id: str
    part: str
    what: str
    form: Form
    lanes: tuple[Lane, ...]
    sheet: str = ""
    notes: tuple[str, ...] = ()
    emblem: str = ""
    actuator: str = ""
    linked: bool = False
    joined: bool = False
    bridge: str = ""
    main: bool = False
    flippable: bool = False

    @property
    def nodes(self) -> list[Node]:
        """The terminals of the unit, each once."""
        both = (node for lane in self.lanes for node in (lane.left, lane.right) if node is not None)
        return list(dict.fromkeys(both))

    def is_tap(self, lane: int) -> bool:
        """Whether a lane is the tap of a cable shield."""
        both = (self.lanes[lane].left, self.lanes[lane].right)
        return any(node is not None and node[1] == ".shield" for node in both)

    @property
    def tapped(self) -> bool:
        """Whether the shield of a cable leaves among its lanes."""
        return any(map(self.is_tap, range(len(self.lanes))))

    def flipped(self) -> Unit:
        """The same unit with left and right exchanged."""
        return replace(self, lanes=tuple(replace(lane, left=lane.right, right=lane.left) for lane in self.lanes))
