"""Heights above the floor: IEC 60204-1 5.3.4 and 10.1.2, NFPA 79 5.3.4 (6 ft 7 in), all from memory."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

from wiring.design.design import Design

SLUG = "operator-out-of-reach"


def hung(height: str, book: str = "iec") -> Design:
    """A main switch whose shaft is at 15 + 300 + 40 mm above the cabinet's lower edge, and a button at 400 + 20."""
    given = f", height: {height}" if height else ""
    return design(
        f"""
enclosure: {{size: 400 x 500 x 200 mm, plate: 350 x 470 mm{given}}}
parts:
  Q1: {{kind: disconnector, poles: 2, rated: 25 A, size: 50 x 80 x 70 mm, position: 100 x 300 mm}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}, at: door, size: 30 x 40 x 50 mm, position: 300 x 400 mm}}
""",
        book,
    )


# IEC: 600..1900 mm; the switch is 355 mm and the button 420 mm above the lower edge. NFPA 79: 6 ft 7 in = 2007 mm.
@pytest.mark.parametrize(
    ("height", "book", "names"),
    [
        ("245 mm", "iec", []),
        ("244 mm", "iec", ["Q1"]),
        ("179 mm", "iec", ["Q1", "S1"]),
        ("1480 mm", "iec", []),
        ("1481 mm", "iec", ["S1"]),
        ("1546 mm", "iec", ["Q1", "S1"]),
        ("1587 mm", "na", []),
        ("1588 mm", "na", ["S1"]),
        ("1653 mm", "na", ["Q1", "S1"]),
        ("0 mm", "na", ["S1"]),
    ],
)
def test_bounds_above_the_floor(height: str, book: str, names: list[str]) -> None:
    assert sorted(one.subjects[0] for one in fired(SLUG, hung(height, book))) == names


def test_what_it_says() -> None:
    """1.6 m and the 355 mm of the shaft: 1955 mm, and 1.9 m at most."""
    found = {one.subjects[0]: one for one in fired(SLUG, hung("1.6 m"))}
    assert_says(
        found["Q1"],
        "CAUTION",
        limit=(1.9, "m", "IEC 60204-1 5.3.4"),
        number=("height", 1.6 + (15 + 300 + 40) / 1000, "m"),
        mend="Move Q1 55 mm lower",
    )


def test_without_the_height_of_the_cabinet_nothing_is_judged() -> None:
    assert not fired(SLUG, hung(""))
    [asked] = open_questions(SLUG, hung(""))
    assert asked.subjects == ("Q1", "S1")
    assert "height" in asked.missing


@pytest.mark.parametrize(("height", "names"), [("1.8 m", []), ("2 m", ["Q1", "S1"]), ("0 mm", []), ("0.1 m", [])])
def test_a_cabinet_that_hangs_too_high_is_told_without_positions(height: str, names: list[str]) -> None:
    """Above 1.9 m (IEC 60204-1, 5.3.4) wherever they stand."""
    plan = design(f"""
enclosure: {{size: 400 x 600 x 200 mm, height: {height}}}
parts:
  Q1: {{kind: disconnector, poles: 2, rated: 25 A}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}, at: door}}
""")
    assert [one.subjects[0] for one in fired(SLUG, plan)] == names
