"""Rows on a plate by hand: ducts 40 mm wide above, between and below, 30 mm beside each part (a usual style)."""

from __future__ import annotations

import pytest
from marked_plans import fired, open_questions, read
from says import assert_says

from wiring.design.design import Design

SLUG = "cabinet-too-small"
#: The plate is 51 mm narrower and 30 mm lower than a metric cabinet.
HEAD = """\
format: 1
machine: Plate
rulebook: iec
enclosure: {{size: {size}{more}}}
parts:
"""
SUPPLY = "  G{n}: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A{size}}}\n"


def box(
    height: float,
    count: int = 2,
    *,
    width: float = 400,
    depth: float = 200,
    size: str = "100 x 120 x 110 mm",
    more: str = "",
) -> Design:
    """Some supplies of one size, and a cabinet."""
    given = f", size: {size}" if size else ""
    head = HEAD.format(size=f"{width} x {height} x {depth} mm", more=more)
    return read(head + "".join(SUPPLY.format(n=n, size=given) for n in range(1, count + 1)))


@pytest.mark.parametrize(("height", "fires"), [(290, False), (289, True)])
def test_the_height_of_one_row(height: float, fires: bool) -> None:
    """A row of parts 120 mm high: 40 + 30 + 120 + 30 + 40 = 260 mm of plate, a cabinet 30 mm higher.

    Free space above and below a supply, 50 mm, is less than half a duct and the room for bending: 20 + 30 mm.
    """
    found = fired(SLUG, box(height))
    assert [one.place.line if one.place else 0 for one in found] == [4] * fires


@pytest.mark.parametrize(("width", "fires"), [(241, False), (240, True)])
def test_the_width_of_the_widest(width: float, fires: bool) -> None:
    """Two ducts of 40 mm and 5 mm at each end of the row: 90 mm and a part 100 mm wide, 51 mm beside the plate."""
    assert bool(fired(SLUG, box(800, 1, width=width))) is fires


@pytest.mark.parametrize(("depth", "fires"), [(160, False), (159, True)])
def test_the_depth_of_the_deepest(depth: float, fires: bool) -> None:
    """25 mm behind the plate, a rail of 15 mm, 110 mm and 10 mm of air (own choice)."""
    assert bool(fired(SLUG, box(800, 1, depth=depth))) is fires


def test_two_rows_where_one_is_too_short() -> None:
    """Three of 100 mm with 15 mm between them are 330 mm, the row has 349 - 90 = 259: 2 x 180 + 3 x 40 = 480 mm."""
    [finding] = fired(SLUG, box(509, 3))
    assert_says(
        finding,
        "CAUTION",
        limit=(479 / 1000, "m", "Trade practice rows of parts between ducts"),
        number=("needed", (2 * 180 + 3 * 40) / 1000, "m"),
        mend="Take a cabinet of",
    )
    assert not fired(SLUG, box(510, 3))


def test_the_spare_that_a_plan_asks_for_counts() -> None:
    """One part of 100 mm on 80 % of a row of 120 mm: it wants 125."""
    assert fired(SLUG, box(800, 1, width=261, more=", spare: 20 %"))
    assert not fired(SLUG, box(800, 1, width=261))


def test_what_is_missing_is_asked_for() -> None:
    """Sizes that are typical do not speak; they ask where they do not go in. A cabinet without a size is asked for."""
    assert not fired(SLUG, box(200, size=""))
    assert open_questions(SLUG, box(200, size=""))
    assert not open_questions(SLUG, box(800, size=""))
    assert open_questions(SLUG, read(HEAD.format(size="", more="").replace("size: ", "") + SUPPLY.format(n=1, size="")))
