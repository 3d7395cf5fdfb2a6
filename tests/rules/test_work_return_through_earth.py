"""The current of a process goes back by its work lead, never by protective conductors."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "work-return-through-earth"
PARTS = """
G5: {kind: process-source, input: 230 V AC, output: 36 V DC, rated: 8 A}
E5: {kind: heater, rated: 36 V DC 180 W, metal: false}
TAB: {kind: metalwork, points: 3}
"""
FEED = """
- {wire: 51, from: X0:L, to: G5:L}
- {wire: 52, from: X0:N, to: G5:N}
- {wire: 53, from: "G5:OUT+", to: E5:1}
- {wire: PE5, from: XPE:5, to: G5:PE}
- {wire: PE6, from: XPE:6, to: TAB:1}
"""


def test_the_source_tied_to_the_bar_and_the_work_to_the_table() -> None:
    wires = (
        FEED
        + "- {wire: 54, from: E5:2, to: TAB:2}   #! work-return-through-earth\n"
        + '- {wire: PE7, from: "G5:OUT-", to: XPE:7}\n'
    )
    assert_marked(plan(PARTS, wires))


def test_the_work_tied_to_the_bar() -> None:
    wires = (
        FEED
        + "- {wire: 54, from: E5:2, to: XPE:8}   #! work-return-through-earth\n"
        + '- {wire: PE7, from: "G5:OUT-", to: TAB:3}\n'
    )
    assert_marked(plan(PARTS, wires))


def test_source_and_work_on_one_table_are_right() -> None:
    wires = FEED + '- {wire: 54, from: E5:2, to: TAB:2}\n- {wire: PE7, from: "G5:OUT-", to: TAB:3}\n'
    assert fired(SLUG, design(plan(PARTS, wires))) == []


def test_the_current_is_that_of_the_load() -> None:
    """180 W at 36 V are 5 A, less what the conductors of unknown size drop (some hundredths of an ohm each)."""
    wires = FEED + '- {wire: 54, from: E5:2, to: TAB:2}\n- {wire: PE7, from: "G5:OUT-", to: XPE:7}\n'
    [finding] = fired(SLUG, design(plan(PARTS, wires)))
    assert finding.numbers[0].value == pytest.approx(5.0, rel=0.03)


def test_what_it_says() -> None:
    """Ohm's law: 180 W at 36 V are 7.2 ohm, behind five conductors of unknown size at 20 mohm."""
    [finding] = fired(
        SLUG,
        design(
            plan(PARTS, FEED + "- {wire: 54, from: E5:2, to: TAB:2}\n" + '- {wire: PE7, from: "G5:OUT-", to: XPE:7}\n')
        ),
    )
    assert_says(
        finding, "WARNING", number=("process current", 36 / (7.2 + 5 * 0.020), "A"), mend="work conductor of its own"
    )
