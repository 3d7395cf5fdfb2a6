"""Documents of plans at the edge: nothing in them, and words of any length."""

from __future__ import annotations

from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from tests.documents.test_pack import pack_of
from tests.helpers import loaded
from tests.reports.test_html_page import page_of
from wiring.documents.label_sheet import fitted, label_sheet
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table
from wiring.documents.typeset import breakable, picture_text, printable
from wiring.reports.lists import render_list

EMPTY = ["parts: {}\n", "parts: {MP: {kind: metalwork}}\nstates: {idle: {}}\n"]
#: Width of a letter of DejaVu Sans Mono, 1233 of 2048 units of its em square (the face's own advance width).
ADVANCE = 1233 / 2048


@pytest.mark.parametrize("book", ["iec", "na"])
@pytest.mark.parametrize("body", EMPTY)
def test_a_plan_with_next_to_nothing_in_it_still_gets_its_documents(body: str, book: str) -> None:
    plan = loaded(body, book)
    assert plan.design is not None
    assert "</html>" in page_of(plan)
    assert len(PdfReader(BytesIO(pack_of(plan))).pages) > 5
    assert label_sheet(plan.design, "A4", ()).startswith(b"%PDF")
    for name in ListName:
        assert "does not certify" in render_list(list_table(plan.design, name), width=80)


@given(st.text(max_size=300))
def test_a_label_fits_its_width_and_stays_legible(text: str) -> None:
    """35 mm of a label of 38 mm are for the text, which is never smaller than 1.4 mm."""
    shown, size = fitted(text, 4.0)
    assert 1.4 <= size <= 4.0
    assert len(shown) * ADVANCE * size <= 35.2


@given(st.text(max_size=200))
def test_no_word_of_the_pack_is_longer_than_its_narrowest_place(text: str) -> None:
    """A word of more than 22 letters gets places to break; taking them out gives the text back."""
    shown = breakable(printable(text))
    assert shown.replace("\u200b", "") == printable(text)
    assert all(len(piece) <= 22 for word in shown.split() for piece in word.split("\u200b"))


@given(st.text(max_size=200))
def test_a_picture_keeps_its_length_whatever_letters_it_holds(text: str) -> None:
    """A box stands for one letter, so that nothing on a sheet moves."""
    assert len(picture_text(text)) == len(text)
