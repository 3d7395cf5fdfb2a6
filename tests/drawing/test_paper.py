"""Paper, frame, zones, title block and sizes of text against ISO 5457, ISO 7200 and ISO 3098."""

from __future__ import annotations

import re

import pytest

from tests.drawing.drawn import SPECS, drawn_spec
from wiring.drawing.paper import PAPERS
from wiring.drawing.shapes import STROKE, Pen, Text

#: ISO 5457: trimmed size and drawing space [mm], margins 20 at the left and 10 elsewhere (one public source).
_ISO_5457 = {"A3": (420, 297, 390, 277), "A4": (210, 297, 180, 277)}
#: ISO 5457: number of zones on the long and the short side, from memory.
_ZONES = {"A3": {8, 6}, "A4": {4, 6}}
#: ANSI/ASME Y14.1: letter (A) 8.5 x 11 in and tabloid (B) 11 x 17 in.
_INCHES = {"letter": (8.5, 11.0), "tabloid": (17.0, 11.0)}


@pytest.mark.parametrize("name", _ISO_5457)
def test_sizes_and_frame(name: str) -> None:
    paper = PAPERS[name]
    width, height, frame_width, frame_height = _ISO_5457[name]
    assert (paper.width, paper.height) == (width, height)
    assert (paper.frame.width, paper.frame.height) == (frame_width, frame_height)
    assert paper.frame.x1 == 20
    assert {paper.across, paper.down} == _ZONES[name]


@pytest.mark.parametrize("name", _INCHES)
def test_north_american_sizes(name: str) -> None:
    width, height = _INCHES[name]
    assert PAPERS[name].width == pytest.approx(25.4 * width)
    assert PAPERS[name].height == pytest.approx(25.4 * height)


def test_zones_have_letters_down_without_i_and_o_and_numbers_across() -> None:
    paper = PAPERS["A3"]
    frame = paper.frame
    assert paper.zone(frame.x1 + 1, frame.y1 + 1) == "A1"
    assert paper.zone(frame.x2 - 1, frame.y2 - 1) == "F8"
    letters = "".join(paper.letter(n) for n in range(16))
    assert "I" not in letters
    assert "O" not in letters


def test_title_block_is_180_wide_at_the_lower_right() -> None:
    """ISO 7200 (one public source for the width)."""
    for paper in PAPERS.values():
        assert paper.title.width == pytest.approx(min(180.0, paper.frame.width))
        assert (paper.title.x2, paper.title.y2) == (paper.frame.x2, paper.frame.y2)


def test_title_block_carries_the_mandatory_fields() -> None:
    """ISO 7200, mandatory: owner, identification, date, sheet, title, approval, creator, document type."""
    for picture in drawn_spec("coil-winder").pictures:
        words = {words.text for part in picture.of("title") for words in part.words}
        assert {
            "owner",
            "identification",
            "date of issue",
            "sheet",
            "title",
            "approved by",
            "creator",
            "document type",
        } <= words
        assert f"{picture.number} / {len(drawn_spec('coil-winder').sheets)}" in words


@pytest.mark.parametrize("name", SPECS)
def test_capitals_are_at_least_1_8_mm_high(name: str) -> None:
    """ISO 3098 lists 1.8 mm as its smallest nominal height; DejaVu Sans Mono's capitals are 1493 / 2048 of the size."""
    for sheet in drawn_spec(name).sheets:
        for group in sheet.groups:
            for shape in group.shapes:
                if isinstance(shape, Text):
                    assert shape.size * 1493 / 2048 >= 1.8


def test_lines_are_drawn_in_four_widths() -> None:
    """Frame 0.7 (ISO 5457); wires 0.5 and 0.25, symbols 0.35 (line widths of ISO 128, in steps of the root of 2)."""
    widths = {pen: width for pen, (width, _) in STROKE.items()}
    assert widths[Pen.FRAME] == 0.7
    assert widths[Pen.POWER] == 0.5
    assert widths[Pen.SYMBOL] == 0.35
    assert widths[Pen.WIRE] == 0.25


def test_nothing_is_told_by_colour() -> None:
    """Every sheet is black on white."""
    from wiring.drawing.svg import svg_of

    for sheet in drawn_spec("foam-gantry").sheets:
        colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg_of(sheet)))
        assert colours <= {"none", "#000"}


def test_north_american_sheets_measure_in_inches() -> None:
    """By the plan's own text: an enclosure of 24 in x 36 in x 10 in, circuits 8 in apart, a cable of 8 ft."""
    texts = [
        shape.text
        for sheet in drawn_spec("bench-press-feeder", "tabloid").sheets
        for group in sheet.groups
        for shape in group.shapes
        if isinstance(shape, Text)
    ]
    assert [text for text in texts if re.search(r"\d m?m\b", text)] == []
    assert {"24 in", "36 in", "10 in"} <= set(texts)
    assert any(text.endswith("at least 8 in from bench-power") for text in texts)
    assert "5×18 AWG, 8 ft infeed motor" in texts


@pytest.mark.parametrize(("name", "paper"), [("coil-winder", "A4"), ("bench-press-feeder", "letter")])
def test_on_upright_paper_every_word_beside_the_cabinet_has_room(name: str, paper: str) -> None:
    """What stands out on the machine is the last thing that the sheet of the plate tells."""
    plate = next(sheet for sheet in drawn_spec(name, paper).sheets if sheet.title == "Cabinet: plate")
    words = [shape.text for group in plate.groups for shape in group.shapes if isinstance(shape, Text)]
    assert "…" not in words
    assert any("M1" in text and "M2" in text for text in words)
