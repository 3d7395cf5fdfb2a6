"""Symbols of both sets: within the space they claim, alike in their pins, and there for every kind of the language."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.drawing.random_plans import random_design
from wiring.drawing.assign import find_units
from wiring.drawing.shapes import ASCENT, DESCENT, Box, Line, Oval, Shape, Text, text_width
from wiring.drawing.symbols import SymbolSet
from wiring.drawing.symbols.emblems import EMBLEMS
from wiring.drawing.symbols.glyph import Glyph
from wiring.drawing.symbols.iec import IEC
from wiring.drawing.symbols.na import NA

_STROKE = 0.05


def text_box(text: Text) -> Box:
    """The rectangle that a text may ink."""
    width = text_width(text.text, text.size)
    left = text.x - {"start": 0.0, "middle": width / 2, "end": width}[text.anchor]
    return Box(left, text.y - ASCENT * text.size, left + width, text.y + DESCENT * text.size)


def _extent(shapes: tuple[Shape, ...]) -> tuple[float, float, float, float]:
    xs: list[float] = []
    ys: list[float] = []
    for shape in shapes:
        if isinstance(shape, Line):
            xs += [x for x, _ in shape.points]
            ys += [y for _, y in shape.points]
        elif isinstance(shape, Oval):
            xs += [shape.x - shape.rx, shape.x + shape.rx]
            ys += [shape.y - shape.ry, shape.y + shape.ry]
        elif isinstance(shape, Text):
            box = text_box(shape)
            xs += [box.x1, box.x2]
            ys += [box.y1, box.y2]
    return min(xs), min(ys), max(xs), max(ys)


_GLYPHS = [*((f"iec {name}", glyph) for name, glyph in IEC.items()), *((f"na {name}", g) for name, g in NA.items())]


@pytest.mark.parametrize(("name", "glyph"), _GLYPHS, ids=[name for name, _ in _GLYPHS])
def test_glyph_keeps_to_its_space(name: str, glyph: Glyph) -> None:
    left, top, right, bottom = _extent(glyph.whole)
    assert left >= 0.0
    assert right <= glyph.width
    assert top >= -glyph.above - _STROKE
    assert bottom <= glyph.below + _STROKE
    assert glyph.above <= 3.8  # the line of words above a symbol begins there


def test_the_na_set_differs_where_the_trade_does() -> None:
    for name in ("make", "break", "coil", "fuse", "breaker", "resistor", "lamp", "operated-make", "limit-make"):
        assert SymbolSet("na").glyph(name) != SymbolSet("iec").glyph(name)
    assert set(NA) <= set(IEC)


def test_na_contacts_are_two_parallel_bars_and_coils_circles() -> None:
    """NFPA 79 ladder practice, from memory."""
    bars = [shape for shape in NA["make"].shapes if isinstance(shape, Line)]
    assert len(bars) == 2
    assert all(bar.points[0][0] == bar.points[1][0] for bar in bars)
    assert any(isinstance(shape, Oval) and shape.rx == shape.ry for shape in NA["coil"].shapes)


def test_a_make_contact_is_open_and_a_break_contact_touches() -> None:
    """IEC 60617 07-02-01 and 07-02-03, from memory: a gap, and a blade that rests on the fixed contact's bar."""

    def reaches_fixed(glyph: Glyph) -> bool:
        bars = [s.points for s in glyph.shapes if isinstance(s, Line) and s.points[0][0] == s.points[-1][0] == 2.5]
        blade = next(s.points for s in glyph.shapes if isinstance(s, Line) and s.points[0] == (7.5, 0.0))
        (x1, y1), (x2, y2) = blade
        at = y1 + (y2 - y1) * (2.5 - x1) / (x2 - x1)
        return any(min(a[1], b[1]) <= at <= max(a[1], b[1]) for bar in bars for a, b in pairwise(bar))

    assert reaches_fixed(IEC["break"])
    assert not reaches_fixed(IEC["make"])


@pytest.mark.parametrize("book", ["iec", "na"])
def test_no_two_symbols_look_alike(book: str) -> None:
    """But for those with an operator or release beside them: that is what tells them apart."""
    symbols = SymbolSet(book)
    seen: dict[str, set[str]] = {}
    for name in IEC:
        seen.setdefault(repr(symbols.glyph(name).whole), set()).add(name)
    alike = {frozenset(names) for names in seen.values() if len(names) > 1}
    by_release, by_operator = {"breaker", "rcd"}, ({"make", "operated-make"}, {"break", "operated-break"})
    main_switch = {"disconnector", "switch-disconnector"}  # the kind has one sign only
    assert alike <= {frozenset(names) for names in (by_release, main_switch, *by_operator)}


def test_what_a_device_opens_is_drawn_closed() -> None:
    """Breakers, main switches and protectors rest closed in the model, so that a reader of the sheet sees them so."""
    for book in ("iec", "na"):
        for name in ("breaker", "rcd", "motor-protector", "switch-disconnector"):
            glyph = SymbolSet(book).glyph(name)
            assert set(glyph.closed) <= set(glyph.shapes)
            assert not set(glyph.open) & set(glyph.shapes)


def test_emblems_fit_a_frame() -> None:
    for name, shapes in EMBLEMS.items():
        left, top, right, bottom = _extent(shapes)
        assert max(-left, right, -top, bottom) <= 4.0, name


@pytest.mark.parametrize("seed", range(6))
def test_every_wired_terminal_has_exactly_one_place(seed: int) -> None:
    """No terminal of a conductor is lost or doubled when parts are split into units."""
    design = random_design(seed)
    units = find_units(design)
    nodes = [node for unit in units for node in unit.nodes]
    wired = {end for c in design.circuit.conductors if c.kind != "shield" for end in c.ends}
    wired |= {c.b for c in design.circuit.conductors if c.kind == "shield"}
    assert wired <= set(nodes)
    assert len(nodes) == len(set(nodes))
    drawn = {unit.part for unit in units}
    strips = ("terminals", "connector", "earth-bar")
    assert {name for name, part in design.parts.items() if part.kind not in strips} <= drawn | _unwired(
        design.parts, wired
    )


def _unwired(parts, wired):  # type: ignore[no-untyped-def]
    """Operators with a change-over contact and no wire have nothing to draw."""
    return {name for name in parts if not any(node[0] == name for node in wired)}
