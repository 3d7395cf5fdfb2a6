"""Lengths of conductors against networkx on the ducts that are read back from the drawing."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from helpers import design

from tests.cabinet.laid_out import DrawnNet, drawn_ducts, layouts
from wiring.cabinet.lengths import DOOR_MAKE_UP, LOOP, MAKE_UP, ON_TOP, Courses
from wiring.cabinet.records import DuctPiece
from wiring.cabinet.ways import DuctNet, Point


def test_every_way_is_the_shortest_over_the_drawn_ducts() -> None:
    """Both ends on the plate: from the edge of the part straight to the duct, along the ducts, and straight again."""
    tried = 0
    for name, study, layout in layouts():
        courses = Courses(layout, study.circuit)
        ducts = drawn_ducts(layout, _drawn(study.circuit))
        for conductor in study.circuit.conductors:
            course = courses.of.get(conductor.id)
            if course is None or not {conductor.a[0], conductor.b[0]} <= layout.plate.keys():
                continue
            net = DrawnNet(ducts)
            reach, spots = 0.0, []
            for node in conductor.ends:
                at = _terminal(courses, node, conductor.cable is not None)
                spots.append(net.spot(layout.ducts[at.duct].name, at.at))
                away = abs(net.middle(layout.ducts[at.duct].name) - _edge(layout.plate[node[0]].area, spots[-1][1]))
                assert at.reach == pytest.approx(away, abs=0.5)
                reach += away
            assert course.way == pytest.approx(net.shortest(*spots) + reach, abs=1.0), (name, conductor.id)
            assert course.cut == pytest.approx((course.way + 2 * MAKE_UP) * (1 + ON_TOP))
            tried += 1
    assert tried > 400


def _drawn(circuit: object) -> object:
    return SimpleNamespace(parts=circuit.parts, plan=circuit.plan)  # type: ignore[attr-defined]


def _terminal(courses: Courses, node: tuple[str, str], outer: bool) -> Point:
    found = courses._end(node, outer)
    assert found is not None
    return found.point


def _edge(area: object, y: float) -> float:
    return area.top if y > area.top else area.y  # type: ignore[attr-defined]


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
