"""Sheets are well filled, and a wire with both ends on one sheet is drawn unless it would cross four others."""

from __future__ import annotations

from itertools import pairwise
from statistics import median

import pytest

from tests.drawing.drawn import ROOT, SPECS, drawn_spec, spec_design
from tests.drawing.figures import against, interrupted, use_of
from tests.drawing.lint import crossings
from tests.drawing.picture import read_picture
from wiring.drawing.shapes import Box, Group, Line, Mark, Text
from wiring.drawing.through import drawn_through

FOUR = ("coil-winder", "bench-press-feeder", "foam-gantry", "stone-engraver")
_AREA = Box(0.0, 0.0, 200.0, 100.0)
_PARTS = {"1": frozenset(("K1", "K2"))}


def _own_paper(name: str) -> str:
    return "tabloid" if spec_design(name).plan.rulebook == "na" else "A3"


def test_circuit_sheets_of_four_machines_are_used_to_45_percent() -> None:
    uses = []
    for name in FOUR:
        drawn = drawn_spec(name, _own_paper(name))
        kinds = {sheet.number: sheet.kind for sheet in drawn.sheets}
        uses += [use_of(picture, drawn.paper) for picture in drawn.pictures if kinds[picture.number] == "circuit"]
    assert median(uses) >= 0.45


def test_four_machines_need_few_sheets() -> None:
    """Circuits, overviews, and the cabinet with its walls."""
    kinds = [sheet.kind for name in FOUR for sheet in drawn_spec(name, _own_paper(name)).sheets]
    assert sum(kind in ("circuit", "overview", "enclosure") for kind in kinds) <= 24


def test_power_runs_down_and_wires_seldom_cross() -> None:
    """Over all machines; the lines of a distribution are crossed by what hangs from those above them."""
    pictures = [picture for name in SPECS for picture in drawn_spec(name, _own_paper(name)).pictures]
    assert sum(crossings(picture) for picture in pictures) <= 60
    assert sum(against(picture) for picture in pictures) <= 35


@pytest.mark.parametrize(("name", "pairs"), [
    ("coil-winder", (("K2:2", "G1:L"), ("K2:4", "G1:N"), ("F2:2", "G2:L"))),
    ("parts-washer", (("F3:2", "T1:1.1"), ("X2:2", "T1:1.2"))),
    ("tray-mover", (("M2:A2", "X2:9"),)),
])  # fmt: skip
def test_what_one_device_feeds_stands_below_it(name: str, pairs: tuple[tuple[str, str], ...]) -> None:
    """Straight down, with no way back up, in the plan's own words; a machine leads its return to the side first."""
    pictures = drawn_spec(name, _own_paper(name)).pictures
    pins = {pin.node: pin for picture in pictures for s in picture.of("symbol") for pin in s.pins}
    for upper, lower in pairs:
        assert pins[upper].x == pins[lower].x
        assert pins[upper].y < pins[lower].y


def test_breakers_behind_one_contactor_hang_side_by_side() -> None:
    """F1 and F3 take both poles from K2, one from the other: at one height, and no wire runs up or back."""
    picture = read_picture((ROOT / "diagrams" / "tray-sorter" / "sheet-05.svg").read_text(encoding="utf-8"))
    pins = {pin.node: pin for symbol in picture.of("symbol") for pin in symbol.pins}
    row = [pins[node] for node in ("F1:1", "F1:3", "F3:1", "F3:3")]
    assert len({pin.y for pin in row}) == 1
    assert [pin.x for pin in row] == sorted({pin.x for pin in row})
    assert (row[0].x, row[1].x) == (pins["K2:2"].x, pins["K2:4"].x)
    assert row[0].y > pins["K2:2"].y
    assert against(picture) == 0


def _stub(wire: str, start: tuple[float, float], end: tuple[float, float]) -> list[Group]:
    line = Group("wire", wire, (Line((start, end)),), (("conductor", wire),))
    side = "start" if end[0] > start[0] else "end"
    words = Text(end[0], end[1] + 0.75, "▷ 5/A1 K1:13", anchor=side)
    return [line, Group("reference", wire, (words, Mark(*end, "")))]


def _scene(walls: int) -> list[Group]:
    """Two stubs that face each other, with upright wires of the whole height of the area between them."""
    groups = [*_stub("1", (10.0, 50.0), (30.0, 50.0)), *_stub("1", (190.0, 50.0), (170.0, 50.0))]
    for n in range(walls):
        x = 60.0 + 20.0 * n
        groups.append(Group("wire", f"wall {n}", (Line(((x, 0.0), (x, 100.0))),), ()))
    return groups


@pytest.mark.parametrize(("walls", "is_drawn"), [(0, True), (3, True), (4, False)])
def test_a_wire_is_drawn_unless_it_would_cross_four(walls: int, is_drawn: bool) -> None:
    groups = drawn_through(_scene(walls), _AREA, _PARTS)
    own = [group for group in groups if group.id == "1"]
    assert [group.kind for group in own] == (["wire"] if is_drawn else ["wire", "reference"] * 2)
    if is_drawn:
        assert own[0].shapes[0].points == ((10.0, 50.0), (190.0, 50.0))  # type: ignore[union-attr]


def test_a_way_goes_round_words_and_symbols() -> None:
    block = Group("symbol", "K1", (Line(((90.0, 20.0), (90.0, 80.0))),), (("body", "80 20 100 80"),))
    drawn = drawn_through([*_scene(0), block], _AREA, _PARTS)
    line = next(group.shapes[0] for group in drawn if group.id == "1")
    assert isinstance(line, Line)
    for (x1, y1), (x2, y2) in pairwise(line.points):
        apart = max(x1, x2) < 80 or min(x1, x2) > 100 or max(y1, y2) < 20 or min(y1, y2) > 80
        assert apart, line.points


def _hung(wire: str, x: float, to: float) -> list[Group]:
    line = Group("wire", wire, (Line(((x, 20.0), (x, to))),), (("conductor", wire),))
    return [line, Group("reference", wire, (Text(x, to + 2.0, "▷ 5/A1 K1:13"), Mark(x, to, "")))]


def test_what_hangs_is_led_back_up_where_four_corners_are_enough() -> None:
    """From foot to foot in two corners; behind a symbol that is wide it would take more than four."""
    wide = Group("symbol", "K1", (Line(((90.0, 50.0), (110.0, 50.0))),), (("body", "90 5 110 95"),))
    pair = [*_hung("1", 60.0, 40.0), *_hung("1", 140.0, 40.0)]
    done = [group for group in drawn_through(pair, _AREA, _PARTS) if group.id == "1"]
    assert [group.kind for group in done] == ["wire"]
    assert len(done[0].shapes[0].points) == 4  # type: ignore[union-attr]
    inner = Group("symbol", "K2", (Line(((120.0, 70.0), (125.0, 70.0))),), (("body", "112 60 160 95"),))
    cut = drawn_through([*_stub("1", (60.0, 50.0), (40.0, 50.0)), *_hung("1", 140.0, 40.0), wide, inner], _AREA, _PARTS)
    assert [group.kind for group in cut if group.id == "1"] == ["wire", "reference"] * 2


def test_few_wires_are_interrupted_on_their_own_sheet() -> None:
    """What is left would wind by more than four corners, or leads from a supply to its own lines in a further row:
    below one in eighteen conductors of all machines."""
    own, count = 0, 0
    for name in SPECS:
        drawn = drawn_spec(name, _own_paper(name))
        places = interrupted(drawn.pictures).values()
        own += sum(len(sheets) == 2 and sheets[0] == sheets[1] for sheets in places)
        count += len(drawn.design.circuit.conductors)
    assert own <= count / 18
