"""How long each conductor must be: its way through the ducts, over the hinge of the door and to where cables enter.

Make-up at the ends and the share on top are common practice, from memory: no machine was measured for them.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from wiring.cabinet.box import PLATE_STAND_OFF, mm
from wiring.cabinet.records import Layout, Placed
from wiring.cabinet.terminals import terminal_sides
from wiring.cabinet.walls import Solid, on_wall, placed_on_walls
from wiring.cabinet.ways import DuctNet, Piece, Point
from wiring.circuit.model import Circuit, Conductor, Node

#: For the end in its terminal: in the cabinet and at an operator on the door; and what is taken on top of all [mm].
MAKE_UP, DOOR_MAKE_UP, ON_TOP = 100.0, 150.0, 0.05
#: Terminals as near as this may be joined straight over, beside the duct [mm]; own choice.
NEIGHBOUR = 150.0
#: What the loop over the hinge takes besides the depth of the cabinet [mm].
LOOP = 250.0
_OUTSIDE = ("machine", "outside")


class Course(Struct, frozen=True):
    """How a conductor lies: its bare way in and at the cabinet, the length to cut, and the duct pieces it runs in [mm].

    `cut` is None for one that goes on outside by a length that the plan does not give. `straight` is the distance of
    its ends on the plate, None where one is elsewhere.
    """

    way: float
    cut: float | None
    pieces: tuple[Piece, ...]
    straight: float | None = None

    @property
    def least(self) -> float:
        """What a conductor takes at the least [mm]: its way, or straight over to a part beside."""
        if self.straight is not None and self.straight <= NEIGHBOUR:
            return min(self.straight, self.way)
        return self.way


class _End(Struct, frozen=True):
    """The end of a conductor: where it meets the ducts, what lies beyond on the door or to a wall, its make-up, and
    where its terminal is on the plate [mm]."""

    point: Point
    beyond: float
    make_up: float
    spot: tuple[float, float] | None = None


class Courses(Struct, frozen=True, dict=True):
    """The courses of the conductors of a circuit in one layout."""

    layout: Layout
    circuit: Circuit

    @cached_property
    def net(self) -> DuctNet:
        """The ducts as a net."""
        return DuctNet(self.layout.ducts)

    @cached_property
    def of(self) -> Mapping[str, Course]:
        """The course of every conductor whose both ends have a place, by its id."""
        found = ((one.id, self._course(one)) for one in self.circuit.conductors if one.kind != "shield")
        return {name: course for name, course in found if course is not None}

    @cached_property
    def parted(self) -> Mapping[str, tuple[str, str]]:
        """The ducts at both ends of every conductor that no ducts join, by its id."""
        found = {}
        for one in self.circuit.conductors:
            a, b = self._ends(one)
            if one.kind != "shield" and one.id not in self.of and a and b and self.net.way(a.point, b.point) is None:
                ducts = sorted(self.layout.ducts[end.point.duct].name for end in (a, b))
                found[one.id] = (ducts[0], ducts[1])
        return found

    @cached_property
    def beside_no_duct(self) -> tuple[Placed, ...]:
        """The parts in rows with an end of a conductor that no duct passes straight above or below."""
        ends = {(node, one.cable is not None) for one in self.circuit.conductors for node in one.ends}
        names = {node[0] for node, outer in ends if self._end(node, outer) is None}
        return tuple(
            placed for name, placed in self.layout.plate.items() if name in names and placed.outline.mount != "foot"
        )

    def _ends(self, conductor: Conductor) -> tuple[_End | None, _End | None]:
        outer = conductor.cable is not None
        return self._end(conductor.a, outer), self._end(conductor.b, outer)

    def _course(self, conductor: Conductor) -> Course | None:
        a, b = self._ends(conductor)
        if a is None or b is None or not {conductor.a[0], conductor.b[0]} & self.layout.plate.keys():
            return None
        way = self.net.way(a.point, b.point)
        if way is None:
            return None
        bare = way.length + a.beyond + b.beyond
        whole = bare + a.make_up + b.make_up
        goes_on = any(self._at(node) in _OUTSIDE for node in conductor.ends)
        further = self._further(conductor) if goes_on else 0.0
        cut = None if further is None else (whole + further) * (1 + ON_TOP)
        straight = abs(a.spot[0] - b.spot[0]) + abs(a.spot[1] - b.spot[1]) if a.spot and b.spot else None
        return Course(bare, cut, way.pieces, straight)

    def _further(self, conductor: Conductor) -> float | None:
        """What a conductor goes on outside the cabinet: the length of its route there [mm]."""
        route = self.circuit.plan.routes.get(conductor.route or "")
        if route is None or route.at not in _OUTSIDE or route.length is None:
            return None
        return mm(route.length)

    def _at(self, node: Node) -> str:
        part = self.circuit.parts.get(node[0])
        return part.data.at if part else ""

    @cached_property
    def _sides(self) -> Mapping[str, Mapping[str, tuple[float, bool | None]]]:
        return {
            name: terminal_sides(self.circuit.parts[name], placed.outline) for name, placed in self.layout.plate.items()
        }

    def _end(self, node: Node, outer: bool) -> _End | None:
        layout = self.layout
        if node[0] in layout.plate:
            return self._terminal(layout.plate[node[0]], node[1], outer)
        if node[0] in layout.door:
            return self._on_door(layout.door[node[0]])
        if node[0] in self._hung:
            return self._on_wall(self._hung[node[0]])
        if self._at(node) in _OUTSIDE:
            point = self.net.nearest(*self._entry)
            return None if point is None else _End(point, 0.0, MAKE_UP)
        return None

    def _terminal(self, placed: Placed, terminal: str, outer: bool) -> _End | None:
        share, upwards = self._sides[placed.name].get(terminal, (0.5, True))
        upwards = not outer if upwards is None else upwards
        area = placed.area
        x = area.x + share * area.width
        above = self.net.beside(x, area.top, True) if upwards else None
        below = self.net.beside(x, area.y, False) if not upwards else None
        point = above or below or self.net.beside(x, area.top, True) or self.net.beside(x, area.y, False)
        return None if point is None else _End(point, 0.0, MAKE_UP, (x, area.top if upwards else area.y))

    @cached_property
    def _entry(self) -> tuple[float, float]:
        """Where cables enter, seen on the plate: the middle of that side."""
        box = self.layout.box
        middle = (box.plate_width / 2, box.plate_height / 2)
        return {
            "bottom": (middle[0], 0.0),
            "top": (middle[0], box.plate_height),
            "left": (0.0, middle[1]),
            "right": (box.plate_width, middle[1]),
        }[box.entry]

    @cached_property
    def _hung(self) -> Mapping[str, Solid]:
        box = self.layout.box
        return {one.name: on_wall(box, wall, one) for wall, one in placed_on_walls(self.layout)}

    def _on_wall(self, solid: Solid) -> _End | None:
        """From the middle of the nearest duct to the middle of a part on a wall, across, up and out from the plate."""
        dx, dy = self.layout.box.offset
        middles = (sum(side) / 2 for side in (solid.across, solid.up, solid.out))
        x, y, out = middles
        point = self.net.nearest(x - dx, y - dy)
        if point is None:
            return None
        duct = self.layout.ducts[point.duct]
        return _End(point, abs(out - PLATE_STAND_OFF - duct.depth / 2), MAKE_UP)

    def _on_door(self, placed: Placed) -> _End | None:
        """The way over the middle of the hinge, with the loop that lets the door open."""
        box = self.layout.box
        hinge = 0.0 if box.hinge == "left" else box.width
        point = self.net.nearest(0.0 if box.hinge == "left" else box.plate_width, box.plate_height / 2)
        if point is None:
            return None
        x, y = placed.x + placed.outline.width / 2, placed.y + placed.outline.height / 2
        door = abs(x - hinge) + abs(y - box.height / 2)
        return _End(point, door + box.depth + LOOP, DOOR_MAKE_UP)
