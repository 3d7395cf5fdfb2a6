"""Random plans of up to 120 parts: no exception and no fault. WIRING_RANDOM_DRAWINGS sets how many."""

from __future__ import annotations

import os

import pytest

from tests.drawing.drawn import faults_of
from tests.drawing.random_plans import random_design
from wiring.drawing.draw import draw
from wiring.drawing.paper import PAPERS

COUNT = int(os.environ.get("WIRING_RANDOM_DRAWINGS", "20"))
_PAPERS = ("A3", "A3", "A4", "tabloid", "letter")


@pytest.mark.parametrize("seed", range(COUNT))
def test_random_plan_is_drawn_without_fault(seed: int) -> None:
    design = random_design(seed)
    paper = PAPERS[_PAPERS[seed % len(_PAPERS)]]
    faults = faults_of(draw(design, None, paper), design, paper)
    assert not faults, "\n".join(str(fault) for fault in faults[:10])


def test_random_plans_hold_all_kinds_of_part() -> None:
    from wiring.parts.kinds import KIND_NAMES

    seen = {part.kind for seed in range(20) for part in random_design(seed).parts.values()}
    assert set(KIND_NAMES) <= seen
