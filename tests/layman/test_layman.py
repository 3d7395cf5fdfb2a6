"""Four first drafts of beginners, put right by following the text alone, in at most three rounds of `check`.

What is right in the end is said by all rules, and by a list of dangers that was written before the first run. CI puts
one draft right; `WIRING_DRAFTS=all` all four, in half a minute of processor time.
"""

from __future__ import annotations

import os

import pytest
from layman import MOST_ROUNDS, dangers_left, draft_plan, drafts, one_round, opened
from plain_plans import parsed

from wiring.findings import Verdict
from wiring.rules.run import judge

DRAFTS = drafts()
PUT_RIGHT = list(DRAFTS) if os.environ.get("WIRING_DRAFTS") == "all" else ["sander"]


@pytest.mark.parametrize("name", PUT_RIGHT)
def test_a_draft_is_put_right_by_the_text_alone(name: str) -> None:
    draft = DRAFTS[name]
    outcome = opened(draft_plan(draft))
    first = dangers_left(outcome.design, parsed(outcome.text), draft["dangers"])
    assert len(draft["dangers"]) == 12
    assert len(first) >= 9, "what the beginner has written holds nearly all of them"
    assert judge(outcome.design).verdict is Verdict.STOP
    rounds = []
    for _ in range(MOST_ROUNDS):
        outcome, told = one_round(outcome, draft)
        rounds.append(told)
    assert rounds[-1].left == ()
    assert judge(outcome.design).verdict is Verdict.CLEAR, rounds
    assert outcome.design.plan.accepted == opened(draft_plan(draft)).design.plan.accepted
    left = dangers_left(outcome.design, parsed(outcome.text), draft["dangers"])
    assert set(left) == set(draft["untold"])


def test_most_is_mended_by_changes_that_were_tried() -> None:
    """Sentences that a person must turn into wires are few: no more than three of a draft's twelve mistakes."""
    assert all(len(draft["by_hand"]) <= 3 for draft in DRAFTS.values())


@pytest.mark.parametrize("name", DRAFTS)
def test_a_clean_plan_holds_none_of_the_dangers(name: str) -> None:
    """The list itself is right: the machine as its author drew it passes every statement."""
    draft = DRAFTS[name]
    outcome = opened(draft_plan({"base": draft["base"]}))
    assert dangers_left(outcome.design, parsed(outcome.text), draft["dangers"]) == []
