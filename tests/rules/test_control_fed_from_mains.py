"""Coils on the mains itself: IEC 60204-1:2016 9.1.1, NFPA 79 9.1.1, from memory."""

from __future__ import annotations

import pytest
from coils_on_mains import coils
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says

SLUG = "control-fed-from-mains"


# 9.1.1: no transformer is asked of a machine with a single motor starter and at most two control devices.
@pytest.mark.parametrize(("count", "found"), [(1, 0), (2, 1), (5, 1)])
def test_more_than_one_coil_on_the_mains(count: int, found: int) -> None:
    said = fired(SLUG, design(coils(count)))
    assert len(said) == found
    assert not said or len(said[0].subjects) == count


def test_behind_a_transformer_they_may_hang() -> None:
    assert fired(SLUG, design(coils(4, "110 V AC 3 W", ('"T1:2.1"', '"T1:2.2"')))) == []


def test_it_points_at_the_first_coil() -> None:
    assert_marked("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 6 A, curve: B}}
parts:
  X0: {kind: inlet, rated: 16 A}
  K1: {kind: contactor, poles: 1, coil: 230 V AC 3 W}   #! control-fed-from-mains
  K2: {kind: contactor, poles: 1, coil: 230 V AC 3 W}
wires:
  - {wire: 1, through: [X0:L, K1:A1, K2:A1], size: 1.5 mm2, length: 1 m, colour: RD}
  - {wire: 2, through: [X0:N, K1:A2, K2:A2], size: 1.5 mm2, length: 1 m, colour: LBU}
""")


def test_what_it_says() -> None:
    """IEC 60204-1 9.1.1: a machine with 1 starter needs no transformer; the plan has 2 coils."""
    [finding] = fired(SLUG, design(coils(2)))
    assert_says(
        finding,
        "CAUTION",
        limit=(1.0, "", "IEC 60204-1 9.1.1"),
        number=("coils", 2.0, ""),
        mend="control transformer with one side earthed",
    )
