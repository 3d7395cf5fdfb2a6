"""Parts on the walls: kept apart in depth by shapely, read back from the drawing, wired, drilled and written."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired, open_questions
from shapely.geometry import box
from typer.testing import CliRunner

from tests.cabinet.laid_out import SPECS, Span, layouts, solid_on_wall, spec, spec_study
from tests.drawing.picture import read_picture
from wiring.cabinet.drilling import drills_of
from wiring.cabinet.given import completed, given_layout
from wiring.cabinet.layout import lay_out
from wiring.cabinet.lengths import MAKE_UP, ON_TOP, Courses
from wiring.cabinet.records import Layout
from wiring.changes.cabinet_positions import position_edits
from wiring.cli import app
from wiring.design.design import Design
from wiring.documents.cabinet_files import views
from wiring.drawing.cabinet_view import run_name
from wiring.drawing.svg import svg_of

SLUG = "part-in-the-way"
#: From the back wall to the plate, and a rail [mm]: the figures of the cabinet, typical and from memory.
STAND_OFF, RAIL = 25.0, 15.0
FAN = "  E1: {{kind: fan, rated: 24 V DC 5 W, airflow: 50 m3/h, mount: wall, size: {size}{more}}}\n"


def cabinet(parts: str, enclosure: str = "", more: str = "") -> Design:
    """A cabinet of 400 x 500 x 200 mm, its plate of 349 x 470 mm 25.5 mm from the sides and 15 mm from the floor."""
    return design(f"enclosure: {{size: 400 x 500 x 200 mm{enclosure}}}\nparts:\n{parts}{more}")


def hung(layout: Layout) -> dict[str, tuple[Span, Span, Span]]:
    """What each part on a wall takes."""
    return {
        one.name: solid_on_wall(layout, wall, one.area, one.outline.depth)
        for wall, placed in layout.walls.items()
        for one in placed.values()
    }


def inside(layout: Layout) -> dict[str, tuple[Span, Span, Span]]:
    """Plate, ducts, parts on the plate and operators in the same way."""
    case = layout.box
    dx, dy = (case.width - case.plate_width) / 2, (case.height - case.plate_height) / 2
    found = {"plate": ((dx, dx + case.plate_width), (dy, dy + case.plate_height), (STAND_OFF - 2, STAND_OFF))}
    for duct in layout.ducts:
        area = duct.area
        deep = (STAND_OFF, STAND_OFF + duct.depth)
        found[duct.name] = ((area.x + dx, area.right + dx), (area.y + dy, area.top + dy), deep)
    for one in layout.plate.values():
        reach = STAND_OFF + one.outline.depth + (RAIL if one.outline.mount == "rail" else 0.0)
        area = one.area
        found[one.name] = ((area.x + dx, area.right + dx), (area.y + dy, area.top + dy), (STAND_OFF, reach))
    for one in layout.door.values():
        area = one.area
        found[one.name] = ((area.x, area.right), (area.y, area.top), (case.depth - one.outline.depth, case.depth))
    return found


def meet(one: tuple[Span, Span, Span], two: tuple[Span, Span, Span]) -> bool:
    """Whether two boxes share room: their faces by shapely, their depths as lines."""
    faces = box(one[0][0], one[1][0], one[0][1], one[1][1]), box(two[0][0], two[1][0], two[0][1], two[1][1])
    deep = min(one[2][1], two[2][1]) - max(one[2][0], two[2][0])
    return bool(faces[0].intersection(faces[1]).area > 1.0 and deep > 0.1)


def crowded(depth: int) -> Layout:
    """Nine parts of several sorts on the walls of a cabinet so deep, with a full plate and operators."""
    sizes = (f"{80 + 10 * n} x 90 x {40 + 5 * n} mm" for n in range(1, 6))
    hung_parts = "".join(FAN.format(size=size, more="").replace("E1", f"E{n}") for n, size in enumerate(sizes, 1))
    hung_parts += "  R1: {kind: braking-resistor, resistance: 100 ohm, power: 100 W, mount: wall}\n"
    hung_parts += "".join(f"  J{n}: {{kind: connector, contacts: ['1', '2'], at: cabinet}}\n" for n in range(1, 4))
    plate = "".join(f"  K{n}: {{kind: relay, coil: 24 V DC 1 W, contacts: {{11-14: NO}}}}\n" for n in range(1, 9))
    plate += "".join(f"  G{n}: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}\n" for n in range(1, 3))
    door = "".join(f"  S{n}: {{kind: push-button, contacts: {{13-14: NO}}, at: door}}\n" for n in range(1, 6))
    found = lay_out(design(f"enclosure: {{size: 600 x 760 x {depth} mm}}\nparts:\n{hung_parts}{plate}{door}").circuit)
    assert isinstance(found, Layout)
    return found


def test_nothing_on_a_wall_meets_anything_in_the_cabinet() -> None:
    found = [*layouts(), *((f"crowded {depth}", None, crowded(depth)) for depth in (210, 250, 300, 400))]
    count = 0
    for name, _, layout in found:
        things, walls = inside(layout), hung(layout)
        count += len(walls)
        for part, solid in walls.items():
            assert all(low >= 0 and high <= most for (low, high), most in zip(solid, sides(layout), strict=True)), part
            assert [other for other, one in things.items() if meet(solid, one)] == [], (name, part)
        for (one, first), (two, second) in combinations(walls.items(), 2):
            assert not meet(first, second), (name, one, two)
    assert count > 20


def test_the_free_space_of_a_hot_part_on_a_wall_is_kept() -> None:
    """The faces by shapely: beside, above and below it nothing stands, wherever its depth meets that of the other."""
    count = 0
    for depth in (210, 300, 400):
        layout = crowded(depth)
        things = {name: solid for name, solid in inside(layout).items() if name in {**layout.plate, **layout.door}}
        for wall, placed in layout.walls.items():
            for one in placed.values():
                others = {**things, **{name: solid for name, solid in hung(layout).items() if name != one.name}}
                for wide in (
                    one.area.widened(one.outline.sides, 0.0, 0.0),
                    one.area.widened(0.0, one.outline.above, one.outline.below),
                ):
                    room = solid_on_wall(layout, wall, wide, one.outline.depth)
                    assert [name for name, other in others.items() if meet(room, other)] == [], (depth, one.name)
                    count += one.name == "R1"
    assert count >= 4


#: On the left wall of a cabinet of 400 x 500 x 200 mm: 100 mm to the right, 160 mm up from 100, 60..150 mm from the
#: back.
HOT = """  R1: {{kind: braking-resistor, resistance: 100 ohm, power: 100 W, mount: wall, wall: left,
       size: 90 x 160 x 100 mm, position: 60 x 100 mm, heat: {heat},
       clearance: {{above: 100 mm, below: 50 mm, sides: 50 mm}}}}
"""
BREAKER = "  F1: {{kind: breaker, rating: 6 A, curve: C, size: 20 x 80 x 70 mm, clearance: {{}}, position: {place}}}\n"


@pytest.mark.parametrize(
    ("place", "heat", "hot", "near"),
    [
        ("60 x 300 mm", "40 W", True, True),  # 315 mm up: 55 mm above it, and to the right from 85.5 mm
        ("60 x 400 mm", "40 W", True, False),  # 415 mm up: 155 mm above it
        ("60 x 300 mm", "4 W", False, True),
        ("75 x 300 mm", "40 W", False, False),  # from 100.5 mm on to the right: beside the resistor
        ("80 x 180 mm", "40 W", False, False),  # before it: its free space is beside, above and below
        ("60 x 20 mm", "40 W", False, False),  # 115 mm up at the most: it begins at 100, so it would be in it
    ],
)
def test_a_hot_part_on_a_wall_warms_what_is_straight_above_it(place: str, heat: str, hot: bool, near: bool) -> None:
    """By hand: the plate lies 25.5 mm from the side and 15 mm from the floor, so F1 at x takes x + 25.5 to x + 45.5 mm
    to the right, y + 15 to y + 95 mm up and 25 to 110 mm out from the back."""
    found = cabinet(HOT.format(heat=heat) + BREAKER.format(place=place))
    heated = [one.subjects for one in fired("hot-below-sensitive", found)]
    assert heated == ([("R1", "F1")] if hot else [])
    crowded_in = [one.subjects for one in fired("clearance-too-small", found)]
    assert crowded_in == ([("R1", "F1")] if near else [])


def sides(layout: Layout) -> tuple[float, float, float]:
    """The cabinet outside: width, height, depth."""
    return layout.box.width, layout.box.height, layout.box.depth


def test_the_drawing_shows_each_wall_to_scale() -> None:
    """Read back from the SVG: corner and size of every part on a wall, from the corner of that wall."""
    seen = 0
    for name in SPECS:
        layout = spec_study(name).layout
        assert layout is not None
        picture = read_picture(svg_of(views(layout, spec(name).parts, spec(name).plan)))
        corners = {}
        for part in picture.parts:
            if part.data.get("what") == "wall":
                xs, ys = zip(*part.chains[0], strict=True)
                scale = float(part.data["scale"])
                corners[part.data["wall"]] = (min(xs), max(ys), scale)
                case = sides(layout)
                deep = case[2] if part.data["wall"] in ("left", "right") else case[0]
                assert scale * (max(xs) - min(xs)) == pytest.approx(deep, abs=0.5)
        for part in picture.parts:
            if part.data.get("what") == "wall part":
                placed = layout.walls[part.data["wall"]][part.id]  # type: ignore[index]
                x0, y0, scale = corners[part.data["wall"]]
                xs, ys = zip(*(point for chain in part.chains for point in chain), strict=True)
                told = scale * (min(xs) - x0), scale * (y0 - max(ys)), scale * (max(xs) - x0), scale * (y0 - min(ys))
                area = placed.area
                assert told == pytest.approx((area.x, area.y, area.right, area.top), abs=0.5), part.id
                seen += 1
        assert set(corners) == set(layout.walls), name
    assert seen >= 3


def test_names_that_do_not_count_on_are_not_told_as_if_they_did() -> None:
    """A run of F1, F2, F3 and F6 holds no F4 and F5."""
    assert run_name(["F1", "F2", "F3", "F6"]) == "F1…F3, F6"
    assert run_name(["F9", "F10", "K11"]) == "F9…F10, K11"
    assert run_name(["XPE", "XSH", "F01"]) == "XPE, XSH, F01"


def test_a_part_too_deep_for_what_stands_before_the_plate_is_told() -> None:
    """K1 begins 25.5 + 100 mm from the left wall and reaches out to 25 + 15 + 90 = 130 mm: a fan at 90..180 mm from
    the back may be 125 mm deep, 126 mm are too much; from 130 mm on it passes in front of K1."""
    relay = "  K1: {kind: contactor, poles: 3, coil: 24 V DC 3 W, size: 45 x 80 x 90 mm, clearance: {},\n"
    relay += "    position: 100 x 300 mm}\n"

    def told(size: str, place: str) -> list[tuple[str, ...]]:
        fan = FAN.format(size=size, more=f", clearance: {{}}, wall: left, position: {place}")
        return [one.subjects for one in fired(SLUG, cabinet(fan, more=relay))]

    assert told("60 x 90 x 125 mm", "90 x 300 mm") == []
    assert told("60 x 90 x 126 mm", "90 x 300 mm") == [("E1", "K1")]
    assert told("60 x 90 x 126 mm", "131 x 300 mm") == []
    assert told("60 x 90 x 126 mm", "90 x 400 mm") == []


def test_off_its_wall_over_another_and_into_plate_and_duct() -> None:
    def told(*parts: tuple[str, str], enclosure: str = "") -> set[tuple[tuple[str, ...], str]]:
        text = "".join(
            FAN.format(size="80 x 90 x 60 mm", more=f", clearance: {{}}, {more}").replace("E1", name)
            for name, more in parts
        )
        return {(one.subjects, one.summary) for one in fired(SLUG, cabinet(text, enclosure))}

    assert told(("E1", "wall: right, position: 100 x 100 mm")) == set()
    assert told(("E1", "wall: right, position: 121 x 100 mm")) == {(("E1",), "E1 reaches beyond its right wall")}
    assert told(("E1", "wall: top, position: 325 x 100 mm")) == {(("E1",), "E1 reaches beyond its top wall")}
    over = told(("E1", "wall: left, position: 90 x 100 mm"), ("E2", "wall: left, position: 90 x 189 mm"))
    assert over == {(("E2", "E1"), "E2 lies over E1")}
    beside = told(("E1", "wall: left, position: 90 x 100 mm"), ("E2", "wall: right, position: 90 x 100 mm"))
    assert beside == set()
    corner = told(("E1", "wall: left, position: 90 x 20 mm"), ("E2", "wall: bottom, position: 50 x 90 mm"))
    assert [one for one, _ in corner] == [("E2", "E1")]
    plate = told(("E1", "wall: left, position: 20 x 100 mm"))
    assert plate == {(("E1",), "E1 reaches from its wall into the plate")}
    duct = ", ducts: {edge: {at: 0 x 0 mm, length: 470 mm, size: 40 x 60 mm, run: up}}"
    assert told(("E1", "wall: left, position: 84 x 100 mm"), enclosure=duct) == {
        (("E1",), "E1 reaches from its wall into edge")
    }
    assert told(("E1", "wall: left, position: 86 x 100 mm"), enclosure=duct) == set()


def test_a_part_that_says_no_wall_is_asked_and_not_moved() -> None:
    relay = "  K1: {kind: relay, coil: 24 V DC 1 W, contacts: {11-14: NO}, position: 100 x 300 mm}\n"
    unsaid = cabinet(FAN.format(size="80 x 90 x 60 mm", more=", position: 90 x 100 mm"), more=relay)
    assert [
        (one.subjects, "wall: left" in one.missing) for one in open_questions(SLUG, unsaid) if "E1" in one.subjects
    ] == [(("E1",), True)]
    assert "E1" in completed(unsaid.circuit).unplaced
    free = cabinet(FAN.format(size="80 x 90 x 60 mm", more=""), more=relay)
    assert list(completed(free.circuit).walls) == ["right"]
    said = cabinet(FAN.format(size="80 x 90 x 60 mm", more=", wall: top"), more=relay)
    assert list(completed(said.circuit).walls) == ["top"]


def test_the_wire_to_a_wall_goes_across_up_and_out() -> None:
    """By hand: the duct's middle line at height 120 from 0 to 349 mm on the plate, and 25 + 30 = 55 mm from the back.

    K1's terminal 11 looks up at 80 mm, 110 mm from the left: 40 mm to the duct. E1 on the right wall takes
    340..400 mm across, 200..290 mm up, 100..180 mm out: its middle is at 370 - 25.5 = 344.5 and 245 - 15 = 230 mm
    on the plate, so the way leaves the duct at 344.5, goes up 110 mm and out from 55 to 140 mm.
    """
    found = cabinet(
        FAN.format(size="80 x 90 x 60 mm", more=", wall: right, position: 100 x 200 mm"),
        ", ducts: {A: {at: 0 x 100 mm, length: 349 mm, size: 40 x 60 mm}}",
        "  K1: {kind: push-button, contacts: {13-14: NO}, at: cabinet, mount: rail, size: 20 x 60 x 50 mm,\n"
        "    position: 100 x 20 mm}\n"
        'wires:\n  - {wire: 1, from: "K1:13", to: "E1:+", size: 1 mm2}\n',
    )
    course = Courses(given_layout(found.circuit), found.circuit).of["1"]
    way = 40 + (344.5 - 110) + 110 + (140 - 55)
    assert course.way == pytest.approx(way)
    assert course.cut == pytest.approx((way + 2 * MAKE_UP) * (1 + ON_TOP))


def test_what_finds_no_wall_is_named_before_anything_else(tmp_path: Path) -> None:
    """A fan 150 mm wide and high has no place in a cabinet 100 mm deep."""
    plan = tmp_path / "plan.yaml"
    plan.write_text(
        "format: 1\nmachine: Flat\nrulebook: iec\nenclosure: {size: 400 x 500 x 100 mm}\nparts:\n"
        + FAN.format(size="150 x 150 x 60 mm", more="")
    )
    told = CliRunner().invoke(app, ["cabinet", str(plan)], env={"COLUMNS": "80", "NO_COLOR": "1"})
    assert told.exit_code == 1
    assert told.output.startswith("Fits but for E1: cabinet 400 x 500 x 100 mm")


def test_holes_are_drilled_on_their_wall() -> None:
    fan = FAN.format(
        size="80 x 90 x 60 mm",
        more=", wall: left, position: 100 x 200 mm, holes: [{at: 4 x 5 mm, diameter: 4.5 mm}]",
    )
    found = cabinet(fan)
    holes = [one for one in drills_of(given_layout(found.circuit), found.parts) if one.board == "left wall"]
    assert [(one.cause, one.x, one.y, one.diameter) for one in holes] == [("E1", 104.0, 205.0, 4.5)]


def test_wall_and_position_are_written() -> None:
    layout = spec_study("foam-gantry").layout
    assert layout is not None
    edits = {
        edit.path: edit.value for edit in position_edits(layout, spec("foam-gantry").parts, spec("foam-gantry").plan)
    }  # type: ignore[union-attr]
    [(wall, placed)] = layout.walls.items()
    assert edits["parts", "E2", "wall"] == wall
    assert edits["parts", "E2", "position"] == f"{placed['E2'].x:g} x {placed['E2'].y:g} mm"
