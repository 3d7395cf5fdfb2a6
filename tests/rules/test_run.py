"""What running the rules gives: every rule counted once, a failed one told, order and words of a report."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from marked_plans import read

from wiring.design import figures
from wiring.design.design import Design
from wiring.findings import Cause, Finding, Mend, NotJudged, Number, Signal, Verdict
from wiring.plan.source import Place
from wiring.rulebooks.citation import Limit, iec_60204
from wiring.rules import SLUGS, rule_module
from wiring.rules.rule import Rule
from wiring.rules.run import CRASHED, UNMATCHED, in_words_of, judge, rule_texts, tell, told_alone

SPECS = Path(__file__).parents[2] / "specs"
OVERLOADED = (SPECS / "faulty" / "supply-overloaded-press.yaml").read_text(encoding="utf-8")
PRESS = (SPECS / "bench-press-feeder.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def design() -> Design:
    return read(OVERLOADED)


def fails(design: object) -> Any:
    raise ZeroDivisionError


def test_every_rule_speaks_or_is_counted_quiet(design: Design) -> None:
    told = tell(design)
    speaking = {one.rule for one in (*told.findings, *told.not_judged)}
    assert told.crashed == ()
    assert told.quiet == len(SLUGS) - len(speaking)
    assert speaking <= set(SLUGS)


def test_a_failed_rule_is_told_and_the_others_still_run(design: Design, monkeypatch: pytest.MonkeyPatch) -> None:
    before = tell(design)
    quiet = next(slug for slug in SLUGS if slug not in {one.rule for one in (*before.findings, *before.not_judged)})
    monkeypatch.setattr(rule_module(quiet), "check", fails)
    after = tell(design)
    assert after.crashed == (quiet,)
    assert after.quiet == before.quiet - 1
    (crash,) = [one for one in after.findings if one.rule == CRASHED]
    assert (crash.signal, crash.subjects) == (Signal.WARNING, (quiet,))
    assert f"The rule {quiet} failed" in crash.summary
    assert "ZeroDivisionError in fails" in crash.summary
    assert [one for one in after.findings if one is not crash] == list(before.findings)


def test_a_plan_is_not_clear_while_a_rule_or_a_table_of_figures_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = read(PRESS)
    assert judge(plan).verdict is Verdict.CLEAR
    monkeypatch.setitem(figures.SECTIONS, "stops", fails)  # type: ignore[arg-type]
    report = judge(plan)
    assert report.verdict is Verdict.STOP
    assert report.crashed == ("figures-stops",)
    assert "The figures of stops could not be computed" in report.findings[0].summary
    assert "stops" not in report.figures
    assert report.figures["supplies"]


def test_a_rule_that_fails_half_way_says_nothing_by_halves(design: Design, monkeypatch: pytest.MonkeyPatch) -> None:
    said = told_alone(design, "supply-overloaded")

    def half(design: object) -> Iterator[Any]:
        yield said[0]
        raise ZeroDivisionError

    monkeypatch.setattr(rule_module("supply-overloaded"), "check", half)
    told = tell(design, ["supply-overloaded"])
    assert [one.rule for one in told.findings] == [CRASHED]


def test_only_the_rules_that_are_asked_speak_and_no_acceptance_is_missed_by_them() -> None:
    plan = read(OVERLOADED + "\naccepted: [{finding: supply-overloaded, part: nobody, reason: law}]\n")
    told = tell(plan, ["supply-overloaded"])
    assert {one.rule for one in told.findings} == {"supply-overloaded"}
    assert told.quiet == 0
    assert [one.rule for one in tell(plan).findings].count(UNMATCHED) == 1


def test_findings_and_questions_stand_worst_first_and_by_the_order_of_their_names(design: Design) -> None:
    told = tell(design)
    for said in (told.findings, told.not_judged):
        words = [list(Signal).index(one.signal) for one in said]
        assert words == sorted(words)
    for word in Signal:
        rules = [one.rule for one in told.findings if one.signal is word]
        assert rules == sorted(rules)


def test_a_finding_names_the_clause_of_its_rule_under_the_rulebook(design: Design) -> None:
    for one in tell(design).findings:
        assert one.clause == rule_module(one.rule).RULE.source(design.plan.rulebook)


def test_a_rule_alone_is_neither_accepted_nor_explained() -> None:
    name = ", ".join(told_alone(read(OVERLOADED), "supply-overloaded")[0].subjects)
    plan = read(OVERLOADED + f"\naccepted: [{{finding: supply-overloaded, part: [{name}], reason: law}}]\n")
    assert [one.accepted for one in tell(plan).findings if one.rule == "supply-overloaded"] == ["law"]
    said = told_alone(plan, "supply-overloaded")
    assert [one.accepted for one in said] == [None] * len(said)
    kinds = [isinstance(one, NotJudged) for one in said]
    assert kinds == sorted(kinds)


def every_text(finding: Finding) -> list[str]:
    numbers = [text for one in finding.numbers for text in (one.name, one.remark)]
    limit = [finding.limit.note] if finding.limit else []
    causes = [one.remark for one in finding.because]
    return [finding.summary, finding.harm, *causes, *numbers, *limit, *finding.mend]


def test_every_text_of_a_finding_follows_the_rulebook_and_no_figure_does() -> None:
    """The North American book says ground, and °F where the other has °C."""
    words = "earth at 40 °C"
    place = Place("plan.yaml", 1, 1)
    limit = Limit(313.15, "K", iec_60204("6.3"), words)
    number = Number(words, 313.15, "K", words)
    whole = Finding(
        "r", Signal.NOTICE, ("earth",), words, place, (Cause(place, words),), (number,), limit, words, (Mend(words),)
    )
    american = in_words_of(whole, "na")
    assert every_text(american) == ["ground at 104 °F"] * len(every_text(whole))
    assert american.subjects == ("earth",)
    assert (american.numbers[0].value, american.limit and american.limit.value) == (313.15, 313.15)
    assert in_words_of(whole, "iec") == whole
    assert in_words_of(Finding("r", Signal.NOTICE, (), words), "na").limit is None


def test_the_rules_of_a_report_are_those_it_speaks_of_each_once(design: Design) -> None:
    report = judge(design)
    rules = rule_texts(report)
    assert all(isinstance(one, Rule) for one in rules)
    assert [one.slug for one in rules] == [
        slug for slug in SLUGS if slug in {one.rule for one in (*report.findings, *report.not_judged)}
    ]
