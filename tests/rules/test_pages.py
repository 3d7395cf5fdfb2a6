"""Every rule's page is whole, and its two examples do what it says of them."""

from __future__ import annotations

import re

import pytest
from helpers import HEAD
from marked_plans import read

from wiring.findings import Signal
from wiring.rules import SLUGS, rule_module
from wiring.rules.page import rule_page
from wiring.rules.run import judge

_BOOK = re.compile(r"^rulebook: *(iec|na) *\n", re.MULTILINE)


def example(slug: str, section: str) -> str:
    """The plan of an example: a `rulebook:` line in it names its book, IEC otherwise."""
    body = rule_page(slug).sections[section]
    named = _BOOK.search(body)
    return HEAD.format(book=named.group(1) if named else "iec") + _BOOK.sub("", body)


def above_notice(text: str) -> list[str]:
    report = judge(read(text))
    assert report.crashed == ()
    return [finding.rule for finding in report.roots if finding.signal is not Signal.NOTICE]


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


@pytest.mark.parametrize("slug", SLUGS)
def test_the_first_example_fires_this_rule_and_no_other_above_notice(slug: str) -> None:
    report = judge(read(example(slug, "Fires")))
    assert slug in {finding.rule for finding in report.findings}
    assert set(above_notice(example(slug, "Fires"))) <= {slug}


@pytest.mark.parametrize("slug", SLUGS)
def test_the_second_example_is_quiet(slug: str) -> None:
    report = judge(read(example(slug, "Quiet")))
    assert slug not in {finding.rule for finding in report.findings}
    assert above_notice(example(slug, "Quiet")) == []


@pytest.mark.parametrize("slug", SLUGS)
def test_the_slug_is_the_name_of_its_file(slug: str) -> None:
    assert rule_module(slug).__name__ == f"wiring.rules.{slug.replace('-', '_')}"


def test_no_slug_is_listed_twice() -> None:
    assert len(SLUGS) == len(set(SLUGS))
