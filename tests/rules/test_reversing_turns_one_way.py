"""The sense of a three-phase motor follows the order of its phases (common practice, no source): of the six ways to
connect three phases three turn it one way and three the other; only the same way pole for pole is told."""

from __future__ import annotations

from itertools import permutations

import pytest
from helpers import design
from marked_plans import fired
from reversing import body
from says import assert_says

SLUG = "reversing-turns-one-way"


@pytest.mark.parametrize("poles", sorted(permutations("246")))
def test_only_contactors_in_parallel_turn_it_the_same_way(poles: tuple[str, str, str]) -> None:
    assert bool(fired(SLUG, design(body(swapped=poles)))) == (poles == ("2", "4", "6"))


def test_contactors_in_series_are_left_alone() -> None:
    text = body(swapped=("2", "4", "6"))
    for line, load in (("1", "2"), ("3", "4"), ("5", "6")):
        text = text.replace(f"from: 'K1:{line}', to: 'K2:{line}'", f"from: 'K1:{load}', to: 'K2:{line}'")
    text = "\n".join(line for line in text.splitlines() if "from: 'K1:" not in line or "to: 'M1:" not in line)
    assert fired(SLUG, design(text)) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(body(swapped=("2", "4", "6"))))
    assert finding.subjects == ("K1", "K2", "M1")
    assert_says(finding, "CAUTION", mend="between K2 and M1 over")
