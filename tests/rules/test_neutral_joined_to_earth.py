"""Neutral and protective earth are joined in the building only (IEC 60204-1, 5.1; NFPA 70, 250.24(A)(5))."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "neutral-joined-to-earth"


@pytest.mark.parametrize("book", ["iec", "na"])
def test_a_bond_of_the_neutral(book: str) -> None:
    assert_marked(
        plan(
            "X9: {kind: terminals, points: 3, bridged: [1-3]}",
            "- {wire: 1, from: X0:N, to: X9:1}\n- {wire: PE9, from: X9:2, to: XPE:7}   #! neutral-joined-to-earth",
        ),
        book,
    )


def test_a_bond_behind_the_main_switch_counts() -> None:
    body = plan(
        "Q9: {kind: disconnector, poles: 2}",
        "- {wire: 1, from: X0:N, to: Q9:3}\n- {wire: PE9, from: Q9:4, to: XPE:7}",
    )
    assert [finding.subjects for finding in fired(SLUG, design(body))] == [("PE9",)]


def test_the_bond_of_a_separate_winding_is_right() -> None:
    body = plan(
        "T1: {kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 100 VA}",
        '- {wire: 1, from: X0:L, to: "T1:1.1"}\n- {wire: 2, from: X0:N, to: "T1:1.2"}\n'
        '- {wire: P1, from: "T1:2.2", to: XPE:6}',
    )
    assert fired(SLUG, design(body)) == []


def test_what_it_says() -> None:
    """IEC 60204-1 5.1: no connection of neutral and protective earth in the machine."""
    [finding] = fired(
        SLUG,
        design(
            plan(
                "X9: {kind: terminals, points: 3, bridged: [1-3]}",
                "- {wire: 1, from: X0:N, to: X9:1}\n- {wire: PE9, from: X9:2, to: XPE:7}",
            )
        ),
    )
    assert_says(finding, "WARNING", mend="Take PE9 away")
