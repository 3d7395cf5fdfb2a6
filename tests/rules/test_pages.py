"""Every rule's page is whole, and its example does what it says: its own rule alone is asked of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from asked_not_stated import faults_of
from marked_plans import fired, read

from wiring.reports.rule_page import example, example_plan, rule_page, shown
from wiring.rules import SLUGS, is_about_stops, rule_module
from wiring.rules.run import judge

PLANS = sorted(path.stem for path in (Path(__file__).parents[2] / "wiring/rules/examples").glob("*.yaml"))


@pytest.mark.parametrize("slug", SLUGS)
def test_the_page_is_whole(slug: str) -> None:
    page = rule_page(slug)
    assert page.headline.endswith(".")
    assert len(page.about) > 40
    for section in ("Fires", "Quiet", "Not judged"):
        assert page.sections.get(section, "").strip(), section


@pytest.mark.parametrize("slug", SLUGS)
def test_the_rule_names_itself_its_harm_and_its_sources(slug: str) -> None:
    rule = rule_module(slug).RULE
    assert rule.slug == slug
    assert rule.title
    assert rule.harm
    assert rule.sources
    assert {book for book, _ in rule.sources} <= {"iec", "na", "both"}


@pytest.mark.parametrize("name", PLANS)
def test_a_plan_of_the_examples_is_clear(name: str) -> None:
    """All that is left to ask is what terminals take, which a short plan does not say of every part."""
    report = judge(read(example_plan(name).text))
    assert report.crashed == ()
    assert report.verdict == "clear"
    assert [finding for finding in report.roots if finding.accepted is None] == []
    questions = {one.rule for one in report.not_judged if one.accepted is None}
    assert questions <= {"terminal-size-wrong", "terminal-overfilled"}


@pytest.mark.parametrize("slug", SLUGS)
def test_the_first_example_fires_at_the_place(slug: str) -> None:
    made = example(slug)
    first, *more = made.findings(slug)
    assert first.subjects[0] == rule_page(slug).at
    assert all(finding.place and finding.harm and finding.mend for finding in (first, *more))
    assert any(first.subjects[0].split(".")[0] in line for line in shown(made, [first]))
    assert [fault for finding in (first, *more) for fault in faults_of(finding)] == []


@pytest.mark.parametrize("slug", SLUGS)
def test_the_second_example_is_quiet(slug: str) -> None:
    assert example(slug, "Quiet").findings(slug) == []


@pytest.mark.parametrize("slug", [slug for slug in SLUGS if is_about_stops(slug)])
def test_a_control_circuit_is_judged_alike_under_both_rulebooks(slug: str) -> None:
    for section, finds in (("Fires", True), ("Quiet", False)):
        other = example(slug, section).text.replace("rulebook: iec", "rulebook: na")
        assert bool(fired(slug, read(other))) == finds


@pytest.mark.parametrize("slug", SLUGS)
def test_the_slug_is_the_name_of_its_file(slug: str) -> None:
    assert rule_module(slug).__name__ == f"wiring.rules.{slug.replace('-', '_')}"


def test_no_slug_is_listed_twice() -> None:
    assert len(SLUGS) == len(set(SLUGS))


def test_every_plan_of_the_examples_is_used() -> None:
    assert {rule_page(slug).plan for slug in SLUGS} == set(PLANS)
