"""Twelve additions of two and of four axes: each is cleared by what is proposed, or told by one cap."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from wiring.changes.addition import add_motor
from wiring.changes.outcome import is_new, judged
from wiring.rules import rule_module
from wiring.sizing.engine import ladders_of

SPECS = Path(__file__).parents[2] / "specs"
PLANS = ("coil-winder", "bench-press-feeder", "foam-gantry", "stone-engraver", "glue-robot", "tray-mover")
ALL = [(plan, "M1", count) for plan in PLANS for count in (2, 4)]
#: The heaviest axis of those plans that have another one.
HEAVY = [("coil-winder", "M2", 4), ("foam-gantry", "M3", 4), ("stone-engraver", "M4", 4), ("glue-robot", "M2", 4)]
WHOLE = os.environ.get("WIRING_ADDITIONS") == "all"
CASES = (
    [*ALL, *HEAVY] if WHOLE else [("coil-winder", "M1", 4), ("glue-robot", "M2", 4)]
)  # cleared; told, as no step helps


@pytest.mark.parametrize(("plan", "motor", "count"), CASES)
def test_an_addition_is_cleared_or_told_by_one_cap(plan, motor, count):
    change = add_motor(SPECS / f"{plan}.yaml", motor, count=count)
    known = judged(change.comparison.before.design).findings
    for mend in change.mends:
        if mend.clears:
            again = judged(mend.outcome.design).findings
            assert not [finding for finding in again if is_new(finding, known)], mend.words
    if change.comparison.new and not change.mends:
        # a terminal that is full, a relay that is sold in one size: no step mends it, and its finding says what does
        sized = {name for one in ladders_of(change.outcome.design).values() for name in one.subjects}
        of_size = [one for one in change.comparison.new if hasattr(rule_module(one.rule), "requirements")]
        assert not any(one.subjects[0] in sized for one in of_size)
    elif change.comparison.new:
        first = change.mends[0]
        assert first.clears or len(first.unmet) == 1, (first.left, first.unmet)
        if WHOLE:
            print(f"{plan}, {count} x {motor}: {'clear' if first.clears else first.unmet[0]}")
