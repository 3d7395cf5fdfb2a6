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
    many_states,
    many_stops,
    plan_with,
    relay_chain,
    stops_in_a_loop,
    thin_conductors,
)
from wiring import effort
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
#: rounds, which is the square where coils follow each other one by one. Stops that differ in name alone are one stop.
GROWTH: tuple[tuple[Shape, int, float], ...] = (
    (relay_chain, 8, 2.4),
    (latched_relays, 8, 2.0),
    (stops_in_a_loop, 8, 2.4),
    (many_stops, 8, 0.3),
    (contactors_before_loads, 4, 1.6),
)


def judged_within(text: str, left: Effort) -> tuple[Report, Effort]:
    design = load_text(text, "plan.yaml", ROOT / "specs").design
    assert design is not None
    design.__dict__["effort"] = left
    return judge(design), left


def steps_of(text: str) -> int:
    """The steps of the proof that a check makes."""
    design = load_text(text, "plan.yaml", ROOT / "specs").design
    assert design is not None
    left = Effort(ENDLESS, ENDLESS, ENDLESS)
    with limited(left):
        assert design.stop_proof.results
        assert design.stopping.hidden_welds is not None
    return ENDLESS - left.steps


@pytest.mark.parametrize(("shape", "count", "exponent"), GROWTH, ids=lambda one: getattr(one, "__name__", ""))
def test_the_proof_of_the_stops_grows_slowly(shape: Shape, count: int, exponent: float) -> None:
    one, two = (steps_of(plan_with(shape, n)) for n in (count, 2 * count))
    assert log(two / one, 2) < exponent


def test_walks_over_a_chain_grow_no_faster_than_its_length_squared() -> None:
    """Each of n loads on a chain of n has a way of n conductors: n squared at most, walked one by one."""
    taken = [judged_within(plan_with(lamp_chains, n), Effort(ENDLESS, ENDLESS, ENDLESS))[1].walked for n in (30, 60)]
    one, two = (ENDLESS - left for left in taken)
    assert log(two / one, 2) < 2.0


def test_what_a_judgement_cannot_afford_is_asked_and_never_clear() -> None:
    """A clear plan, judged with less than it takes: it is no longer clear, and says what to do."""
    text = WINDER.read_text("utf-8")
    whole, _ = judged_within(text, Effort())
    assert whole.verdict is Verdict.CLEAR
    of_stops = {"stop-fault-dangerous", "stop-leaves-hazard"}
    little_room = (
        (Effort(steps=1_000), of_stops),
        (Effort(walked=500), {"stop-fault-dangerous"}),
        (Effort(kept=10), of_stops),
    )
    for little, rules in little_room:
        report, left = judged_within(text, little)
        assert left.spent_out
        assert report.verdict is Verdict.ASK
        assert not report.crashed
        assert set(report.findings) <= set(whole.findings)
        assert rules <= {one.rule for one in report.open_questions if "more steps than a check" in one.missing}


def test_faults_that_take_too_much_room_at_once_are_asked_about(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(effort, "MOST_AT_ONCE", 1_000)
    report, left = judged_within(WINDER.read_text("utf-8"), Effort())
    assert left.spent_out
    assert report.verdict is Verdict.ASK
    assert "stop-fault-dangerous" in {one.rule for one in report.open_questions}


def test_states_that_say_the_same_are_solved_and_kept_once() -> None:
    def kept(n: int) -> int:
        design = load_text(plan_with(many_states, n), "plan.yaml", ROOT / "specs").design
        assert design is not None
        left = Effort(ENDLESS, ENDLESS, ENDLESS)
        with limited(left):
            assert len(design.operation.states) > n
        return ENDLESS - left.kept

    assert kept(18) == kept(9)  # one selector each, and two states that differ in what it says


def test_what_took_too_much_is_not_begun_again() -> None:
    asked = []

    class Record:
        @effort.found_once
        def much(self) -> None:
            asked.append(self)
            effort.walk_on(2)

    record, left = Record(), Effort(walked=1)
    for _ in range(2):
        with pytest.raises(effort.TooMuchError), limited(left):
            record.much()
    assert asked == [record]
    record.much()  # outside of a judgement nothing is too much
    assert asked == [record, record]


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
