"""No plan makes the check fail: every random one is refused with words and a place, or judged and printed.

CI tries the first thousand; `WIRING_RANDOM_MACHINES=100000` tries as many as it says.
"""

from __future__ import annotations

import os
from collections import Counter

import pytest
from plain_plans import written
from random_machine_plans import SPECS, random_plan

from wiring.design.load import load_text
from wiring.reports import render
from wiring.rules.run import judge

COUNT = int(os.environ.get("WIRING_RANDOM_MACHINES", "1000"))
#: Pieces of the run, so that two processes share it.
PARTS = 10
#: Plans beyond the first thousand that broke a rule once. 4379: a semiconductor relay
#: marked for a range of direct voltage. 5415: a supply whose minus no terminal leads out. 21166: nothing answers
#: in the last cases of a screen.
FOUND = (4379, 5415, 21166)


def said(number: int) -> tuple[str, list[str]]:
    """How the plan of a number ends, and everything that is wrong with that."""
    loaded = load_text(written(random_plan(number)), "plan.yaml", SPECS)
    if loaded.design is None:
        mute = [str(fault) for fault in loaded.faults if not (fault.summary and fault.place)]
        return "refused", mute or ([] if loaded.faults else ["refused without a fault"])
    report = judge(loaded.design)
    for style in ("text", "json"):
        render(report, loaded.sources, style)
    return "judged", list(report.crashed)


@pytest.mark.parametrize("part", range(PARTS))
def test_every_random_plan_is_refused_or_judged(part: int) -> None:
    ends: Counter[str] = Counter()
    wrong = []
    for number in range(part * COUNT // PARTS, (part + 1) * COUNT // PARTS):
        end, faults = said(number)
        ends[end] += 1
        if faults:
            wrong.append((number, faults[:3]))
    assert wrong == []
    assert ends["judged"] > COUNT / PARTS / 4, ends


@pytest.mark.parametrize("number", FOUND)
def test_what_a_long_run_found_stays_mended(number: int) -> None:
    assert said(number)[1] == []
