"""Conductor and clamp fit (IEC 60204-1, 13.1.1, from memory): the range is the maker's."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "terminal-size-wrong"


def wire(size: str, limits: str = "0.5..2.5 mm2", mark: str = "") -> str:
    return f"""
parts:
  X1: {{kind: terminals, points: 1, sizes: {limits}}}
  X2: {{kind: terminals, points: 1, sizes: 0.1..50 mm2}}
wires:
  - {{wire: 1, from: X1:1, to: X2:1, size: {size}, length: 1 m}}{mark}
"""


def test_too_thick() -> None:
    assert_marked(wire("4 mm2", mark="   #! terminal-size-wrong"))


def test_too_thin() -> None:
    assert_marked(wire("0.75 mm2", "1.5..6 mm2", "   #! terminal-size-wrong"))


@pytest.mark.parametrize(
    ("size", "fires"),
    [("0.34 mm2", True), ("0.5 mm2", False), ("2.5 mm2", False), ("4 mm2", True), ("14 AWG", False), ("12 AWG", True)],
)
def test_the_ends_of_the_range_are_inside(size: str, fires: bool) -> None:
    """14 AWG is 2.08 mm2, 12 AWG is 3.31 mm2 (ASTM B258)."""
    assert bool(fired(SLUG, design(wire(size)))) is fires


def test_gauges_against_a_range_in_gauges() -> None:
    assert (
        fired(
            SLUG,
            design(
                wire("16 AWG", "26..16 AWG"),
            ),
        )
        == []
    )
    assert len(fired(SLUG, design(wire("14 AWG", "26..16 AWG")))) == 1


def test_an_unknown_range_is_not_judged() -> None:
    text = wire("4 mm2").replace(", sizes: 0.5..2.5 mm2", "")
    assert open_questions(SLUG, design(text))[0].subjects == ("X1",)


@given(
    st.sampled_from(["0.34", "0.5", "0.75", "1", "1.5", "2.5", "4", "6"]),
    st.sampled_from(["0.5", "1", "1.5"]),
    st.sampled_from(["1.5", "2.5", "4"]),
)
def test_a_size_fits_when_it_lies_in_the_range(size: str, low: str, high: str) -> None:
    fits = float(low) <= float(size) <= float(high)
    assert bool(fired(SLUG, design(wire(f"{size} mm2", f"{low}..{high} mm2")))) is not fits


def test_what_it_says() -> None:
    """Data of the terminal: 0.5 to 2.5 mm2."""
    [finding] = fired(SLUG, design(wire("4 mm2")))
    assert_says(
        finding,
        "CAUTION",
        limit=(2.5, "mm2", "IEC 60204-1 13.1.1"),
        number=("fitted", 4 * 1e-6, "m2"),
        mend="go on with 2.5 mm2",
    )


@pytest.mark.parametrize(("sizes", "fires"), [("L N PE", False), ("L N", True), ("L N PE1 PE2", False)])
def test_protective_terminals_of_other_names_take_what_pe_takes(sizes: str, *, fires: bool) -> None:
    """A drive with two protective terminals: the group of PE is theirs unless it names them."""
    text = f"""
parts:
  D1: {{kind: servo-drive, supply: 230 V AC, pe: [PE1, PE2], sizes: {{{sizes}: 0.5..2.5 mm2, "": 0.14..1.5 mm2}}}}
  X2: {{kind: terminals, points: 1, sizes: 0.1..50 mm2}}
wires:
  - {{wire: 1, from: X2:1, to: D1:PE2, size: 2.5 mm2, length: 1 m}}
"""
    assert bool(fired(SLUG, design(text))) is fires
