"""The legend explains every symbol that is drawn; the table under a coil names each of its contacts, spare ones too."""

from __future__ import annotations

import pytest

from tests.drawing.drawn import SPECS, drawn_spec, spec_design
from wiring.drawing.legend import ACTUATORS, EMBLEMS, GLYPHS
from wiring.drawing.prepare import prepare
from wiring.drawing.symbols.actuators import ACTUATORS as DRAWN_ACTUATORS
from wiring.drawing.symbols.emblems import EMBLEMS as DRAWN_EMBLEMS
from wiring.drawing.symbols.iec import IEC
from wiring.drawing.units import Form
from wiring.parts.elements import Switch
from wiring.parts.switching import Contactor, Relay


def test_every_symbol_has_a_word_and_no_word_stands_for_two() -> None:
    assert set(IEC) <= set(GLYPHS)
    assert set(DRAWN_ACTUATORS) <= set(ACTUATORS)
    assert set(DRAWN_EMBLEMS) - {"windings"} <= set(EMBLEMS)  # windings is the transformer of the other book
    words = [*GLYPHS.values(), *ACTUATORS.values(), *EMBLEMS.values()]
    assert len(words) == len(set(words))


@pytest.mark.parametrize("paper", ["A3", "A4", "letter"])
@pytest.mark.parametrize("name", SPECS)
def test_every_symbol_drawn_stands_in_the_legend(name: str, paper: str) -> None:
    drawn = drawn_spec(name, paper)
    told = {part.id for picture in drawn.pictures for part in picture.of("legend")}
    used: set[str] = set()
    for unit in prepare(drawn.design, None).units:
        used |= {lane.glyph for lane in unit.lanes if lane.glyph and unit.form is not Form.CHANGE_OVER}
        used |= {unit.actuator} if unit.actuator else set()
        used |= {unit.emblem} if unit.emblem else set()
    assert used
    assert used <= told


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
