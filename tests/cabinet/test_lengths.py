"""Lengths of conductors against networkx on the ducts that are read back from the drawing."""

from __future__ import annotations

from collections import Counter
from types import SimpleNamespace
from typing import NamedTuple

import pytest
from helpers import design

from tests.cabinet.laid_out import Drawn, DrawnNet, layouts, solid_on_wall
from wiring.cabinet.lengths import DOOR_MAKE_UP, LOOP, MAKE_UP, ON_TOP, Courses
from wiring.cabinet.records import DuctPiece
from wiring.cabinet.ways import DuctNet, Point

#: From the back wall to the plate, and the depth of the ducts [mm]: figures of the cabinet, typical and from memory.
STAND_OFF, DUCT_DEPTH = 25.0, 60.0


class End(NamedTuple):
    """The end of a conductor: its spot on a middle line, the way to it, the way beyond, and its make-up [mm]."""

    spot: tuple[float, float]
    reach: float
    beyond: float
    make_up: float
    sort: str


def test_every_way_is_the_shortest_over_the_drawn_ducts() -> None:
    """From the edge of a part on the plate straight to the duct, along the ducts, and straight again; or over the
    hinge to the middle of an operator on the door, up or across and out to the middle of a part on a wall, or to where
    cables enter: everything but the place of a terminal along its part is read off the drawing."""
    tried: Counter[str] = Counter()
    for name, study, layout in layouts():
        courses = Courses(layout, study.circuit)
        drawn = Drawn(layout, SimpleNamespace(parts=study.circuit.parts, plan=study.circuit.plan))  # type: ignore[arg-type]
        net = DrawnNet(drawn.ducts)
        ends = {
            one.id: [_end(courses, drawn, net, node, one.cable is not None) for node in one.ends]
            for one in study.circuit.conductors
            if one.id in courses.of
        }
        for conductor, (one, two) in ends.items():
            course = courses.of[conductor]
            way = net.shortest(one.spot, two.spot) + one.reach + two.reach + one.beyond + two.beyond
            assert course.way == pytest.approx(way, abs=1.0), (name, conductor)
            if course.cut is not None and "outside" not in (one.sort, two.sort):
                assert course.cut == pytest.approx((course.way + one.make_up + two.make_up) * (1 + ON_TOP))
            tried.update({one.sort, two.sort})
    assert tried["plate"] > 1000
    assert tried["door"] > 50
    assert tried["wall"] > 5
    assert tried["outside"] > 200


def _end(courses: Courses, drawn: Drawn, net: DrawnNet, node: tuple[str, str], outer: bool) -> End:
    layout = courses.layout
    case = layout.box
    if node[0] not in drawn.parts:
        middle = (case.plate_width / 2, case.plate_height / 2)
        entry = {
            "bottom": (middle[0], 0.0),
            "top": (middle[0], case.plate_height),
            "left": (0.0, middle[1]),
            "right": (case.plate_width, middle[1]),
        }[case.entry]
        return End(net.nearest(*entry)[0], net.nearest(*entry)[1], 0.0, MAKE_UP, "outside")
    area, board = drawn.parts[node[0]]
    if board == "plate":
        found = courses._end(node, outer)
        assert found is not None
        duct = layout.ducts[found.point.duct].name
        spot = net.spot(duct, found.point.at)
        assert area.x - 0.5 <= spot[0] <= area.right + 0.5
        return End(spot, abs(net.middle(duct) - (area.top if spot[1] > area.top else area.y)), 0.0, MAKE_UP, "plate")
    x, y = area.x + area.width / 2, area.y + area.height / 2
    if board == "door":
        left = case.hinge == "left"
        spot, reach = net.nearest(0.0 if left else case.plate_width, case.plate_height / 2)
        door = abs(x - (0.0 if left else case.width)) + abs(y - case.height / 2)
        return End(spot, reach, door + case.depth + LOOP, DOOR_MAKE_UP, "door")
    depth = layout.walls[board][node[0]].outline  # type: ignore[index]
    solid = solid_on_wall(layout, board, area, depth.depth + depth.front)
    across, up, out = (sum(span) / 2 for span in solid)
    dx, dy = (case.width - case.plate_width) / 2, (case.height - case.plate_height) / 2
    spot, reach = net.nearest(across - dx, up - dy)
    return End(spot, reach, abs(out - STAND_OFF - DUCT_DEPTH / 2), MAKE_UP, "wall")


def test_a_way_over_the_door_has_the_loop_and_its_make_up() -> None:
    """By hand: a duct 0..400 at height 100, its middle line at 120; the part's terminal 1 looks up.

    Plate 349 x 370 in a cabinet of 400 x 400 x 200 mm, hinge left, no upright duct: the loop leaves the duct at its
    left end, x = 0, and reaches it from half the height of the plate, 185 - 120 = 65 above the middle line.
    """
    found = design("""
enclosure: {size: 400 x 400 x 200 mm, ducts: {A: {at: 0 x 100 mm, length: 349 mm, size: 40 x 60 mm}}}
parts:
  K1: {kind: push-button, contacts: {13-14: NO}, at: cabinet, mount: rail, size: 20 x 60 x 50 mm, position: 100 x 20 mm}
  S1: {kind: push-button, contacts: {13-14: NO}, at: door, size: 30 x 40 x 60 mm, position: 85 x 180 mm}
wires:
  - {wire: 1, from: "K1:13", to: "S1:13", size: 1 mm2}
""")
    from wiring.cabinet.given import given_layout

    course = Courses(given_layout(found.circuit), found.circuit).of["1"]
    up_to_the_duct, along, to_the_hinge = 120 - 80, 110 - 0, 65
    over_the_door = 100 + 0  # the middle of S1 is at 100 x 200, the loop meets the door at 0 x 200
    way = up_to_the_duct + along + to_the_hinge + 200 + LOOP + over_the_door
    assert course.way == pytest.approx(way)
    assert course.cut == pytest.approx((way + MAKE_UP + DOOR_MAKE_UP) * (1 + ON_TOP))


def test_ducts_that_do_not_touch_have_no_way() -> None:
    ducts = [
        DuctPiece("a", 0.0, 0.0, 100.0, 40.0, 60.0, "across"),
        DuctPiece("b", 0.0, 200.0, 100.0, 40.0, 60.0, "across"),
    ]
    assert DuctNet(ducts).way(Point(0, 10.0), Point(1, 10.0)) is None
    joined = DuctNet([*ducts, DuctPiece("c", 100.0, 0.0, 240.0, 40.0, 60.0, "up")])
    way = joined.way(Point(0, 10.0), Point(1, 10.0))
    assert way is not None
    assert way.length == pytest.approx(110.0 + 200.0 + 110.0)
    assert [piece.duct for piece in way.pieces] == ["a", "c", "b"]
