"""Every layout against shapely: nothing over another thing, off the plate or without its free space.

`WIRING_RANDOM_CABINETS=200` tries so many random plans.
"""

from __future__ import annotations

from itertools import combinations, groupby
from math import inf

import pytest
from helpers import design
from msgspec.structs import replace
from shapely.geometry import box
from shapely.ops import unary_union

from tests.cabinet.laid_out import SPECS, layouts, polygon, spec_study, wanted
from wiring.cabinet.blocks import Body, Sort, blocks_of, bodies_of, outlines_of
from wiring.cabinet.box import box_of, style_of
from wiring.cabinet.layout import MOST_PARTS, lay_out, layout_of
from wiring.cabinet.lengths import Courses
from wiring.cabinet.records import Layout, NoRoom
from wiring.cabinet.rows import Packing, bars_in_lines, foot_heights, needed_height, packings, row_width
from wiring.cabinet.study import Study

#: A tenth of a millimetre: what positions are rounded to.
NEAR = 0.11


def test_no_part_is_over_another_thing_or_off_its_board() -> None:
    for name, _, layout in layouts():
        plate = box(0, 0, layout.box.plate_width, layout.box.plate_height)
        door = box(0, 0, layout.box.width, layout.box.height)
        for placed, board in ((layout.plate, plate), (layout.door, door)):
            for one in placed.values():
                assert board.buffer(NEAR).contains(polygon(one.area)), (name, one.name)
            for one, two in combinations(placed.values(), 2):
                over = polygon(one.area).intersection(polygon(two.area)).area
                assert over < NEAR * max(one.outline.height, two.outline.height), (name, one.name, two.name)
        for one in layout.plate.values():
            for duct in layout.ducts:
                over = polygon(one.area).intersection(polygon(duct.area)).area
                assert over < NEAR * max(one.outline.width, one.outline.height), (name, one.name, duct.name)


def test_every_part_has_the_free_space_that_it_wants() -> None:
    for name, _, layout in layouts():
        for one in layout.plate.values():
            for two in layout.plate.values():
                if one is not two:
                    over = wanted(one).intersection(polygon(two.area)).area
                    assert over < NEAR * max(two.outline.height, two.outline.width), (name, one.name, two.name)


def test_every_part_of_the_plan_has_its_place() -> None:
    for name, study, layout in layouts():
        assert set(layout.outlines) == set(outlines_of(study.circuit.parts)), name
        assert not layout.unplaced, name


def test_ducts_do_not_lie_over_each_other_and_rails_do_not_leave_their_row() -> None:
    for name, _, layout in layouts():
        for one, two in combinations(layout.ducts, 2):
            assert polygon(one.area).intersection(polygon(two.area)).area < 1e-6, (name, one.name, two.name)
        for rail in layout.rails:
            line = box(rail.x, rail.y - 17.5, rail.x + rail.length, rail.y + 17.5)
            screwed = [one for one in layout.plate.values() if one.outline.mount == "plate"]
            assert all(line.intersection(polygon(one.area)).area < NEAR * 35 for one in screwed), (name, rail.name)


@pytest.mark.parametrize("name", SPECS)
def test_of_one_kind_the_names_are_in_order_and_side_by_side(name: str) -> None:
    """Common practice, no source: the blocks of a builder."""
    found = spec_study(name).layout
    assert found is not None
    bodies = {one.name: one for one in bodies_of(spec_study(name).circuit, found.outlines)}
    order = list(bodies)
    for row in found.rows:
        runs = [list(run) for _, run in groupby(row, key=lambda one: _group(bodies[one]))]
        assert len(runs) == len({_group(bodies[run[0]]) for run in runs}), (name, row)
        assert all(run == sorted(run, key=order.index) for run in runs), (name, row)


def _group(body: Body) -> tuple[Sort, str]:
    return body.sort, body.group


def test_cables_meet_the_last_row_and_bars_stand_at_the_foot() -> None:
    for name, study, layout in layouts():
        bodies = bodies_of(study.circuit, outlines_of(study.circuit.parts))
        field = {one.name for one in bodies if one.sort is Sort.FIELD}
        rows = [n for n, row in enumerate(layout.rows) if field & set(row)]
        if rows:
            assert rows == list(range(rows[0], len(layout.rows))), name
        lowest = min((duct.y for duct in layout.ducts), default=0.0)
        bars = [one for one in layout.plate.values() if one.outline.mount == "foot"]
        assert all(one.area.top <= lowest + NEAR for one in bars), name


def test_a_battery_stands_below_the_last_duct() -> None:
    """Some 12 kg of lead: common practice, no source."""
    found = spec_study("tray-mover").layout
    assert found is not None
    lowest = min(duct.y for duct in found.ducts)
    assert found.plate["GB1"].area.top < lowest
    assert not any("GB1" in row for row in found.rows)


def test_a_share_of_every_rail_stays_free() -> None:
    for name, study, layout in layouts():
        room = row_width(layout.box, layout.style)
        for row in layout.rows:
            used = sum(layout.plate[one].outline.width for one in row)
            assert used <= room * (1 - layout.style.spare) + NEAR, (name, row)
        assert layout.style == style_of(study.circuit.plan)


def test_five_percent_below_the_needed_height_is_refused_and_the_row_is_named() -> None:
    """Of every spec on the plate that it gives, and of every random plan on that of the smallest usual cabinet."""
    for name, study, layout in layouts():
        if not layout.rows:
            continue
        now, style = layout.box, layout.style
        outlines = outlines_of(study.circuit.parts)
        bodies = bodies_of(study.circuit, outlines)
        needed = min(needed_height(style, one) for one in packings(style, now, bodies, outlines))
        found = lay_out(study.circuit, replace(now, plate_height=0.95 * needed))
        assert isinstance(found, NoRoom), name
        assert found.needed == pytest.approx(needed), name
        assert found.lacking == pytest.approx(0.05 * needed), name
        named = {body.name: body.outline for body in bodies if body.name in found.row}
        assert set(named) == set(found.row), name
        lead = named[found.part]
        taller = [one for one in named.values() if one.height > lead.height and one.above + one.below > lead.above]
        assert all(one.above + one.below < lead.above + lead.below for one in taller), name
        held = lay_out(study.circuit, replace(now, plate_height=needed + 0.1))
        assert isinstance(held, Layout), name
        boards = unary_union([polygon(one.area) for one in (*held.ducts, *held.plate.values())])
        assert needed - 1.0 <= boards.bounds[3] <= needed + 0.1 + NEAR, name


def test_the_same_plan_has_the_same_layout() -> None:
    study = spec_study("stone-engraver")
    assert lay_out(study.circuit, box_of(study.circuit.plan)) == study.layout


#: Rows as a builder would write them down: functions from above, names in order, by hand. Transformer and inverter
#: stand above the breakers: below them they would break what the layout keeps (IEC 60204-1, 11.2.3).
BY_HAND = {
    "foam-gantry": (
        ("Q1", "F1", "F2", "F3", "F4", "G1", "G2", "G3", "G4"),
        ("K1", "K2", "Z1", "F11", "F12", "F13", "F14", "D1", "D2", "D3", "D4"),
        ("X1", "X2", "X3", "X7", "X8"),
        ("K0", "K3", "F21", "F22", "F23", "F24", "F25", "A1", "X0", "X4", "X5", "X6"),
    ),
    "stone-engraver": (
        ("Z1", "T1", "G1", "D1", "D2", "D3"),
        ("Q1", "F1", "F2", "F3", "F4", "F5", "F6", "K0", "K1", "K2"),
        ("F21", "F22", "F23", "F24", "F25", "F26", "X1", "X2", "X7", "X8", "X9"),
        ("K3", "K4", "A1", "X0", "X4", "X5", "X6"),
    ),
}


@pytest.mark.parametrize("name", BY_HAND)
def test_no_longer_wires_than_a_layout_by_hand(name: str) -> None:
    study = spec_study(name)
    layout, rows = study.layout, BY_HAND[name]
    assert layout is not None
    assert sorted(one for row in rows for one in row) == sorted(one for row in layout.rows for one in row)
    outlines = outlines_of(study.circuit.parts)
    bodies = {one.name: one for one in bodies_of(study.circuit, outlines)}
    blocks = [tuple(blocks_of(layout.style, [bodies[one] for one in row], inf)) for row in rows]
    bars = bars_in_lines(outlines, layout.box.plate_width)
    packing = Packing(tuple(blocks), bars, foot_heights(layout.style, bars, outlines), False)
    by_hand = layout_of(study.circuit, layout.box, packing)
    assert by_hand.rows == rows
    assert metres(study, layout) <= metres(study, by_hand)


def metres(study: Study, layout: Layout) -> float:
    """All ways of conductors in a layout."""
    return sum(course.way for course in Courses(layout, study.circuit).of.values()) / 1000.0


def test_more_parts_than_one_cabinet_holds_are_counted() -> None:
    strips = "".join(f"  X{n}: {{kind: terminals, points: 2}}\n" for n in range(MOST_PARTS + 1))
    assert lay_out(design(f"enclosure: {{size: 2 x 2 x 0.4 m}}\nparts:\n{strips}").circuit) == MOST_PARTS + 1
