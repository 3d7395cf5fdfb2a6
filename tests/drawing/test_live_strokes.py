"""Strokes that a screen colours: moving pieces in both positions, each saying which; paper stays as it is."""

from __future__ import annotations

import pytest

from tests.drawing.drawn import SPECS, spec_design
from wiring.drawing.body import Artist
from wiring.drawing.prepare import prepare
from wiring.drawing.shapes import Group, Line, Oval, Sheet
from wiring.drawing.svg import svg_of
from wiring.drawing.symbols import SymbolSet
from wiring.drawing.units import Form, Unit
from wiring.parts.elements import Pole, Switch


@pytest.mark.parametrize("name", SPECS)
def test_every_contact_and_pole_on_a_lane_moves(name: str) -> None:
    """Both positions are drawn, and they differ: who looks at the screen sees it move."""
    design = spec_design(name)
    paths = {frozenset((path.a, path.b)): path.id for path in design.circuit.inner}
    artist = Artist(SymbolSet(design.plan.rulebook), paths)
    moving = {path.id for path in design.circuit.inner if isinstance(path.element, Switch | Pole)}
    drawn = set()
    for unit in prepare(design, None).units:
        on_lanes = {
            paths[ends] for lane in unit.lanes if lane.glyph and (ends := frozenset((lane.left, lane.right))) in paths
        }
        pieces = _pieces(artist, unit)
        for path in on_lanes & moving if unit.form is Form.LANES else ():
            assert pieces.get(f"{path} open") != pieces.get(f"{path} closed"), path
            drawn.add(path)
    assert drawn


def _pieces(artist: Artist, unit: Unit) -> dict[str, list[object]]:
    found: dict[str, list[object]] = {}
    ys = [10.0 * n for n in range(len(unit.lanes))]
    for shape in artist.draw(unit, ys, [(None, None)] * len(ys)).shapes:
        if isinstance(shape, Line | Oval) and shape.when:
            found.setdefault(shape.when, []).append(shape.points if isinstance(shape, Line) else shape)
    return found


@pytest.mark.parametrize("name", SPECS)
def test_every_stub_says_its_terminal(name: str) -> None:
    """A line from a pin to the body carries the potential of that terminal: nothing stays black beside a live wire."""
    design = spec_design(name)
    artist = Artist(SymbolSet(design.plan.rulebook))
    for unit in prepare(design, None).units:
        ys = [10.0 * n for n in range(len(unit.lanes))]
        named = {shape.of for shape in artist.draw(unit, ys, [(None, None)] * len(ys)).shapes if hasattr(shape, "of")}
        wanted = {f"{node[0]}:{node[1].removeprefix('.')}" for node in unit.nodes if node[1] != ".shield"}
        assert wanted <= named, unit.id


def test_paper_says_nothing_of_it() -> None:
    line = Line(((0.0, 0.0), (1.0, 0.0)), of="K1:13", when="K1:13-14 open")
    sheet = Sheet(1, "", "", 10.0, 10.0, (Group("symbol", "K1", (line,)),))
    assert "data-" not in svg_of(sheet).split("<polyline")[1]
    assert 'data-of="K1:13" data-when="K1:13-14 open"' in svg_of(sheet, live=True)
