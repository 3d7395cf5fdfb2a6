"""The legend explains every symbol that is drawn; the table under a coil names each of its contacts, spare ones too."""

from __future__ import annotations

from itertools import combinations
from math import cos, sin, tau

import pytest
from shapely import MultiLineString

from tests.drawing.drawn import SPECS, drawn_spec, spec_design
from wiring.drawing.legend import ACTUATORS, EMBLEMS, GLYPHS, Entry, legend_entries
from wiring.drawing.prepare import prepare
from wiring.drawing.shapes import Line, Oval, Text
from wiring.drawing.symbols import SymbolSet
from wiring.drawing.symbols.actuators import ACTUATORS as DRAWN_ACTUATORS
from wiring.drawing.symbols.emblems import EMBLEMS as DRAWN_EMBLEMS
from wiring.drawing.symbols.iec import IEC
from wiring.drawing.units import Form, Lane, Unit
from wiring.parts.elements import Switch
from wiring.parts.switching import Contactor, Relay


def test_every_symbol_has_a_word_and_no_word_stands_for_two() -> None:
    assert set(IEC) <= set(GLYPHS)
    assert set(DRAWN_ACTUATORS) <= set(ACTUATORS)
    assert set(DRAWN_EMBLEMS) - {"windings", "zigzag"} <= set(EMBLEMS)  # transformer and resistor of the other book
    words = [*GLYPHS.values(), *ACTUATORS.values(), *EMBLEMS.values()]
    assert len(words) == len(set(words))


@pytest.mark.parametrize("paper", ["A3", "A4", "letter"])
@pytest.mark.parametrize("name", SPECS)
def test_every_symbol_drawn_stands_in_the_legend(name: str, paper: str) -> None:
    drawn = drawn_spec(name, paper)
    told = {name for picture in drawn.pictures for part in picture.of("legend") for name in part.id.split()}
    used: set[str] = set()
    for unit in prepare(drawn.design, None).units:
        used |= {lane.glyph for lane in unit.lanes if lane.glyph and unit.form is not Form.CHANGE_OVER}
        used |= {unit.actuator} if unit.actuator else set()
        used |= {unit.emblem} if unit.emblem else set()
    assert used
    assert used <= told


@pytest.mark.parametrize("name", SPECS)
def test_only_contacts_make_and_break(name: str) -> None:
    """Under the coil of a relay with channels their terminals stand below the contacts, in neither column."""
    prepared = prepare(spec_design(name), None)
    switched = {unit.id for unit in prepared.units if any(lane.contact for lane in unit.lanes)}
    rows = [row for table in prepared.names.contacts.values() for row in table]
    assert {one[1] for row in rows for one in row[:2] if one} - {""} <= switched
    assert not {row[2][1] for row in rows if row[2]} & switched


def test_a_change_over_contact_is_told_with_its_three_terminals() -> None:
    tables = prepare(spec_design("glue-robot"), None).names.contacts
    assert ("11-12-14", "K2/11-12-14") in [row[0] for row in tables["K2/coil"]]


@pytest.mark.parametrize("name", SPECS)
def test_the_table_under_a_coil_names_every_contact(name: str) -> None:
    """A contact that no conductor reaches is told as spare; the others with sheet and zone."""
    drawn = drawn_spec(name)
    wired = {end for c in spec_design(name).circuit.conductors for end in c.ends}
    texts: dict[str, list[str]] = {}
    for picture in drawn.pictures:
        for part in picture.of("sibling"):
            if any(words.text == "make" for words in part.words):
                texts.setdefault(part.data["part"], []).extend(words.text for words in part.words)
    checked = 0
    for part in drawn.design.parts.values():
        contacts = part.of(Switch) if isinstance(part.data, Contactor | Relay) else []
        for contact in contacts:
            told = " ".join(texts[part.name])
            used = any((part.name, end) in wired for end in (contact.a, contact.b))
            if not used:
                assert f"{contact.name} spare" in told
            elif contact.closed_at_rest:
                assert contact.a in told or contact.b in told
            checked += 1
    assert checked or name in ("drum-sander",)


def _strokes(entry: Entry) -> MultiLineString:
    """The ink of an entry as lines, closed shapes closed."""
    lines = []
    for shape in entry.shapes:
        if isinstance(shape, Line):
            lines.append([*shape.points, shape.points[0]] if shape.closed else [*shape.points])
        elif isinstance(shape, Oval):
            turns = [n * tau / 24 for n in range(25)]
            lines.append([(shape.x + shape.rx * cos(turn), shape.y + shape.ry * sin(turn)) for turn in turns])
    return MultiLineString(lines)


def _letters(entry: Entry) -> list[str]:
    return [shape.text for shape in entry.shapes if isinstance(shape, Text)]


def _every_unit() -> list[Unit]:
    """A unit for every symbol there is, moved as its kinds are."""
    moved = {"operated-make": "button", "operated-break": "button", "rcd": "residual"}
    units = [Unit(n, n, n, Form.LANES, (Lane(None, None, n),), actuator=moved.get(n, "")) for n in GLYPHS]
    units += [Unit(n, n, n, Form.CHANGE_OVER, (), actuator=n) for n in ACTUATORS]
    for name in EMBLEMS:
        units.append(Unit(name, name, name, Form.CIRCLE if "motor" in name else Form.FRAME, (), emblem=name))
    units += [Unit("", "", "", Form.BOND, (), emblem=name) for name in ("", "frame", "screen")]
    return [*units, Unit("", "", "", Form.POINTS, (), joined=True)]


@pytest.mark.parametrize("book", ["iec", "na"])
def test_no_two_symbols_of_a_legend_look_alike(book: str) -> None:
    """Of strokes 0.4 mm broad, those that only one of two symbols has cover 0.5 mm2, more than 1 mm of a stroke;
    or their letters differ. The bound is ours: no standard says how far symbols must differ."""
    entries = legend_entries(_every_unit(), SymbolSet(book), book)
    assert {name for entry in entries for name in entry.name.split()} >= {*GLYPHS, *ACTUATORS, *EMBLEMS}
    inked = [(entry.name, _letters(entry), _strokes(entry).buffer(0.2)) for entry in entries]
    for (name, letters, ink), (other, others, beside) in combinations(inked, 2):
        assert letters != others or ink.symmetric_difference(beside).area >= 0.5, (name, other)


@pytest.mark.parametrize("name", SPECS)
def test_no_title_is_cut(name: str) -> None:
    """No word at a symbol or in the legend ends in an ellipsis."""
    told = [part for picture in drawn_spec(name).pictures for part in picture.of("symbol", "words", "legend")]
    words = [words.text for part in told for words in part.words]
    assert words
    assert [word for word in words if word.endswith("…")] == []
