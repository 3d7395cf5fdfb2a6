"""What a judgement may cost is counted and bounded: at the bound a plan is asked about, never clear.

No time is measured: the benchmark `bench_heavy_plans.py` does that, and the memory.
"""

from __future__ import annotations

from math import log
from pathlib import Path

import pytest

from tests.robustness.heavy_plans import (
    WINDER,
    Shape,
    contactors_before_loads,
    lamp_chains,
    latched_relays,
    many_stops,
    plan_with,
    relay_chain,
    stops_in_a_loop,
    thin_conductors,
)
from wiring.changes import tried_mends
from wiring.design.load import load, load_text
from wiring.effort import Effort, limited
from wiring.findings import Report, Verdict
from wiring.rules.run import judge

ROOT = Path(__file__).parents[2]
#: Far more than anything takes, so that all of it is counted.
ENDLESS = 10**12
#: The shapes whose proof grows fastest, with the count of each and the exponent that its steps may grow with. By hand:
#: faults stand side by side in numbers, so that they cost nothing below some thousand; what is left is points times
#: rounds, which is the square where coils follow each other one by one, and points times stops.
GROWTH: tuple[tuple[Shape, int, float], ...] = (
    (relay_chain, 8, 2.4),
    (latched_relays, 8, 2.0),
    (stops_in_a_loop, 8, 2.4),
    (many_stops, 8, 1.4),
    (contactors_before_loads, 4, 1.6),
)


def judged_within(text: str, effort: Effort) -> tuple[Report, Effort]:
    design = load_text(text, "plan.yaml", ROOT / "specs").design
    assert design is not None
    design.__dict__["effort"] = effort
    return judge(design), effort


def steps_of(text: str) -> int:
    """The steps of the proof that a check makes."""
    design = load_text(text, "plan.yaml", ROOT / "specs").design
    assert design is not None
    effort = Effort(ENDLESS, ENDLESS)
    with limited(effort):
        assert design.stop_proof.results
        assert design.stopping.hidden_welds is not None
    return ENDLESS - effort.steps


@pytest.mark.parametrize(("shape", "count", "exponent"), GROWTH, ids=lambda one: getattr(one, "__name__", ""))
def test_the_proof_of_the_stops_grows_slowly(shape: Shape, count: int, exponent: float) -> None:
    one, two = (steps_of(plan_with(shape, n)) for n in (count, 2 * count))
    assert log(two / one, 2) < exponent


def test_walks_over_a_chain_grow_no_faster_than_its_length_squared() -> None:
    """Each of n loads on a chain of n has a way of n conductors: n squared at most, walked one by one."""
    taken = [judged_within(plan_with(lamp_chains, n), Effort(ENDLESS, ENDLESS))[1].walked for n in (30, 60)]
    one, two = (ENDLESS - left for left in taken)
    assert log(two / one, 2) < 2.0


def test_what_a_judgement_cannot_afford_is_asked_and_never_clear() -> None:
    """A clear plan, judged with less than it takes: it is no longer clear, and says what to do."""
    text = WINDER.read_text("utf-8")
    whole, _ = judged_within(text, Effort())
    assert whole.verdict is Verdict.CLEAR
    of_stops = {"stop-fault-dangerous", "stop-leaves-hazard"}
    for little, rules in ((Effort(steps=1_000), of_stops), (Effort(walked=500), {"stop-fault-dangerous"})):
        report, effort = judged_within(text, little)
        assert effort.spent_out
        assert report.verdict is Verdict.ASK
        assert not report.crashed
        assert set(report.findings) <= set(whole.findings)
        assert rules <= {one.rule for one in report.open_questions if "more steps than a check" in one.missing}


def test_a_mend_that_cannot_be_afforded_is_offered_untried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Working mends out judges the plan again and again: at the end of what that may take they are words, never tried,
    and never said to fail; what is found stays."""
    design = load_text(plan_with(thin_conductors, 1), "plan.yaml", ROOT / "specs").design
    assert design is not None
    report = judge(design)
    monkeypatch.setattr(tried_mends, "for_mends", lambda _: Effort(0, 0))
    told = tried_mends.with_tried_mends(design, report)
    assert [one.summary for one in told.findings] == [one.summary for one in report.findings]
    mends = [mend for one in told.findings for mend in one.mends]
    assert mends
    assert not any(mend.tried for mend in mends)
    assert not any("Tried without success" in mend.words or "No size mends it" in mend.words for mend in mends)


def test_the_bound_lies_at_the_same_place_each_time() -> None:
    reports = [judged_within(plan_with(relay_chain, 12), Effort(steps=30_000))[0] for _ in range(2)]
    assert reports[0] == reports[1]


@pytest.mark.parametrize("name", ["stone-engraver", "glue-robot"])
def test_the_bound_is_far_above_the_machines_of_the_specs(name: str) -> None:
    design = load(ROOT / "specs" / f"{name}.yaml").design
    assert design is not None
    judge(design)
    assert not design.effort.spent_out
    assert design.effort.steps > 0.8 * Effort().steps
    assert design.effort.walked > 0.9 * Effort().walked
