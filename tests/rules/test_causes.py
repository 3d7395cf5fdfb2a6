"""Laws of the one pass of causes: nothing that a rule finds is lost, and accepting a finding hides no other."""

from __future__ import annotations

import ast
import re
from graphlib import TopologicalSorter
from pathlib import Path
from random import Random

import pytest
from marked_plans import read
from plain_plans import Plan, parsed, written

import wiring.rules
from wiring.findings import Finding, Reference, Report, Signal, Verdict
from wiring.rules import SLUGS, rule_module
from wiring.rules.causes import TABLE
from wiring.rules.run import UNMATCHED, judge, told_alone

TESTS = Path(__file__).parents[1]
HIDDEN = sorted((TESTS / "data" / "hidden-by-acceptance").glob("*.yaml"))
#: What each acceptance of `HIDDEN` hid when rules were silent because others spoke.
WAS_HIDDEN = {
    "lamp-wire-hides-a-burning-conductor": "conductor-burns-before-device-opens",
    "lamp-wire-hides-a-slow-earth-fault": "earth-fault-not-cleared",
    "open-lamp-hides-a-supply-for-other-mains": "supply-never-live",
    "released-brake-hides-a-weld": "stop-feedback-missing",
}
FAULTY = sorted((TESTS.parent / "specs" / "faulty").glob("*.yaml"))


def test_the_table_of_causes_has_no_circle() -> None:
    roots: dict[str, set[str]] = {}
    for root, _, effects in TABLE:
        for effect in effects:
            roots.setdefault(effect, set()).add(root)
    assert list(TopologicalSorter(roots).static_order())
    assert {slug for row in TABLE for slug in (row[0], *row[2])} <= set(SLUGS)


def test_no_row_stands_twice() -> None:
    rows = [(root, kind, effect) for root, kind, effects in TABLE for effect in effects]
    assert len(rows) == len(set(rows))


def test_no_rule_asks_another_rule() -> None:
    rules = {slug.replace("-", "_") for slug in SLUGS}
    for name in rules:
        tree = ast.parse((Path(wiring.rules.__file__).parent / f"{name}.py").read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom):
                asked = {node.module.rpartition(".")[2], *(one.name for one in node.names)} if node.module else set()
                assert not asked & rules, f"{name} asks {asked & rules}"


@pytest.mark.parametrize("path", HIDDEN, ids=lambda path: path.stem)
def test_an_acceptance_hides_nothing_that_is_graver(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    report = judge(read(text))
    assert report.verdict is not Verdict.CLEAR
    assert WAS_HIDDEN[path.stem] in {finding.rule for finding in report.roots}
    assert sum(finding.accepted is not None for finding in report.findings) == len(parsed(text)["accepted"])


def accept(plan: Plan, findings: list[Finding]) -> Plan:
    entries = [{"finding": one.rule, "part": list(one.subjects), "reason": "law of the test"} for one in findings]
    return plan | {"accepted": entries}


def alone(text: str) -> set[Reference]:
    """What the rules tell, each by itself: by rule and by one subject, since groups differ."""
    design = read(text)
    said = [item for slug in SLUGS for item in told_alone(design, slug) if isinstance(item, Finding)]
    return {Reference(one.rule, (name,)) for one in said for name in one.subjects}


def spread(findings: list[Finding]) -> set[Reference]:
    return {Reference(one.rule, (name,)) for one in findings for name in one.subjects}


@pytest.mark.parametrize("path", [*FAULTY, *HIDDEN], ids=lambda path: path.stem)
def test_what_is_left_is_all_that_every_rule_tells_minus_what_was_accepted(path: Path) -> None:
    plan = parsed(path.read_text(encoding="utf-8")) | {"accepted": []}
    told = alone(written(plan))
    before = judge(read(written(plan)))
    assert spread(list(before.findings)) == told
    one = Random(path.stem).choice(before.roots or before.findings)
    after = judge(read(written(accept(plan, [one]))))
    accepted = [finding for finding in after.findings if finding.accepted is not None]
    assert [finding.reference for finding in accepted] == [one.reference]
    kept = [finding for finding in after.standing if finding.rule != UNMATCHED]
    assert spread(kept) | spread(accepted) == told
    assert told - spread(accepted) <= spread(kept)


def test_all_that_stands_accepted_in_turn_leaves_the_plan_clear() -> None:
    """A root first, then what it explained: in the end every finding has been seen and accepted by name."""
    plan = parsed(HIDDEN[0].read_text(encoding="utf-8")) | {"accepted": []}
    accepted: list[Finding] = []
    report: Report = judge(read(written(plan)))
    while report.roots:
        accepted += report.roots
        report = judge(read(written(accept(plan, accepted))))
        assert not [finding for finding in report.findings if finding.rule == UNMATCHED]
    assert report.verdict in (Verdict.ASK, Verdict.CLEAR)
    assert not report.standing


def test_an_open_question_is_accepted_by_its_rule_and_all_that_it_names() -> None:
    plan = parsed(HIDDEN[0].read_text(encoding="utf-8")) | {"accepted": []}
    asked = judge(read(written(plan))).open_questions
    assert asked
    entries = [{"finding": one.rule, "part": list(one.subjects) or ["plan"], "reason": "law"} for one in asked]
    report = judge(read(written(plan | {"accepted": entries})))
    assert not report.open_questions
    assert {one.accepted for one in report.not_judged if one.signal.rank <= Signal.WARNING.rank} == {"law"}
    assert not [finding for finding in report.findings if finding.rule == UNMATCHED]


@pytest.mark.parametrize("slug", SLUGS)
def test_a_rule_names_the_gravest_word_that_it_can_speak(slug: str) -> None:
    """An open question of a rule counts as grave as the worst that the rule might have found."""
    module = rule_module(slug)
    code = Path(str(module.__file__)).read_text(encoding="utf-8").split('"""', 2)[2]
    words = {Signal[word] for word in re.findall(r"Signal\.(DANGER|WARNING|CAUTION|NOTICE)", code)}
    assert module.RULE.not_judged((), "").signal is min(words, key=lambda word: word.rank)


def test_an_acceptance_of_part_of_a_finding_matches_nothing_and_says_what_to_write() -> None:
    plan = parsed(HIDDEN[0].read_text(encoding="utf-8")) | {"accepted": []}
    root = next(one for one in judge(read(written(plan))).roots if len(one.subjects) > 1)
    entry = {"finding": root.rule, "part": root.subjects[0], "reason": "one name of two"}
    report = judge(read(written(plan | {"accepted": [entry]})))
    unmatched = next(one for one in report.findings if one.rule == UNMATCHED)
    assert unmatched.signal is Signal.NOTICE
    assert f"part: [{', '.join(root.subjects)}]" in unmatched.mend[0]
    assert root.reference in {one.reference for one in report.roots}
