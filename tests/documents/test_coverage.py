"""Clause coverage: the tables, the mapping of rules, the manual items, and what `rule --clauses` prints."""

from __future__ import annotations

import json
from collections import Counter

import pytest
from typer.testing import CliRunner

from wiring.cli import app
from wiring.documents.coverage import (
    STANDARDS,
    Way,
    coverage,
    manual_items,
    mapped_clauses,
    own_judgements,
    rule_clauses,
    uncompared_keys,
)
from wiring.reports.coverage_report import coverage_json, render_coverage
from wiring.reports.lines import cells
from wiring.rulebooks.tables import load
from wiring.rules import SLUGS, rule_module

BOOKS = sorted(STANDARDS)


def test_the_ratings_that_nothing_compares_are_printed_with_their_physics() -> None:
    tables = [coverage(book) for book in BOOKS]
    text = " ".join(render_coverage(tables, width=200).split())
    data = json.loads(coverage_json(tables))["ratings_not_compared"]
    assert len(data) == len(uncompared_keys()) > 0
    for row, key in zip(data, uncompared_keys(), strict=True):
        assert row == {"part": key.model, "key": key.key, "physics": key.physics}
        assert f"{key.model}.{key.key}: {key.physics}" in text


def known(book: str) -> set[str]:
    return {row.text("section") for row in load(book, "clauses").rows}


# Counted by hand in the two lists of clauses that the tables were copied from.
@pytest.mark.parametrize(
    ("book", "yes", "partly", "no"),
    [("iec", 97, 71, 18), ("na", 82, 40, 2)],
)
def test_every_clause_of_the_lists_is_there(book: str, yes: int, partly: int, no: int) -> None:
    judged = Counter(row.judged for row in coverage(book).rows)
    assert judged == {"yes": yes, "partly": partly, "no": no}


# Clauses whose place in the standard is public: title and chapter of each (IEC 60204-1:2016, NFPA 79 contents).
@pytest.mark.parametrize(
    ("book", "clause", "word"),
    [
        ("iec", "6.2.4", "60 V"),
        ("iec", "8.2.6", "10 mA"),
        ("iec", "12.5", "Voltage drop"),
        ("iec", "9.2.3.4.2", "Emergency stop"),
        ("iec", "18.3", "Insulation resistance"),
        ("na", "7.3", "Motor overload"),
        ("na", "12.6", "Minimum sizes"),
    ],
)
def test_numbers_and_titles_belong_together(book: str, clause: str, word: str) -> None:
    [row] = [row for row in coverage(book).rows if row.clause == clause]
    assert word in row.title


def test_every_mapped_rule_exists() -> None:
    assert sorted(set(mapped_clauses()) - set(SLUGS)) == []


@pytest.mark.parametrize("book", BOOKS)
def test_every_mapped_clause_exists(book: str) -> None:
    wrong = {slug: [c for c in row[book] if c not in known(book)] for slug, row in mapped_clauses().items()}
    assert {slug: clauses for slug, clauses in wrong.items() if clauses} == {}


@pytest.mark.parametrize("slug", SLUGS)
@pytest.mark.parametrize("book", BOOKS)
def test_a_rule_that_rests_on_a_standard_checks_a_clause_of_it(slug: str, book: str) -> None:
    """A new rule that cites a clause by another name than the list needs a row in wiring/rules/clauses.csv."""
    cites = any(source.standard == STANDARDS[book] for _, source in rule_module(slug).RULE.sources)
    assert not cites or slug in mapped_clauses() or rule_clauses(slug, book)


@pytest.mark.parametrize("book", BOOKS)
def test_every_manual_item_answers_for_a_clause(book: str) -> None:
    for item in manual_items(book):
        below = [c for c in known(book) if c == item.clause or c.startswith((f"{item.clause}.", f"{item.clause}("))]
        assert below or item.clause == "10.7", item
        assert item.check
        assert item.expected


def test_the_parent_of_clauses_answers_for_all_of_them() -> None:
    """10.7 of IEC 60204-1 stands for 10.7.1 to 10.7.3, and not for 10.71 if there were one."""
    checks = {row.clause: [item.clause for item in row.manual] for row in coverage("iec").rows}
    assert all("10.7" in checks[clause] for clause in ("10.7.1", "10.7.2", "10.7.3"))
    assert "4.3" in checks["4.3.4"]
    assert "4.4" not in checks["4.4.1"]


@pytest.mark.parametrize("book", BOOKS)
def test_nothing_that_a_plan_shows_in_part_is_left_open(book: str) -> None:
    assert [row.clause for row in coverage(book).rows if row.judged == "partly" and row.way is Way.OPEN] == []


@pytest.mark.parametrize("book", BOOKS)
def test_nothing_that_a_plan_shows_is_left_open(book: str) -> None:
    assert [row.clause for row in coverage(book).rows if row.judged == "yes" and row.way is Way.OPEN] == []


@pytest.mark.parametrize("book", BOOKS)
def test_the_way_follows_from_what_is_there(book: str) -> None:
    for row in coverage(book).rows:
        assert (row.way is Way.RULE) == bool(row.rules)
        assert (row.way is Way.OUTSIDE) == (row.shown == "no" and not row.rules and not row.manual)


@pytest.mark.parametrize("book", BOOKS)
def test_every_clause_that_a_plan_shows_has_a_rule(book: str) -> None:
    assert [row.clause for row in coverage(book).rows if row.shown == "yes" and not row.rules] == []


@pytest.mark.parametrize("book", BOOKS)
def test_our_own_word_says_less_than_the_list_and_gives_its_reason(book: str) -> None:
    order = ("no", "partly", "yes")
    own = [row for row in coverage(book).rows if row.ours]
    assert {row.clause for row in own} == set(own_judgements(book))
    for row in own:
        assert order.index(row.ours) < order.index(row.judged), row.clause
        assert len(row.reason) > 20
        assert not row.rules or row.ours != "no", row.clause


@pytest.mark.parametrize("width", [40, 80, 120])
def test_the_text_keeps_its_width_and_its_sums(width: int) -> None:
    tables = [coverage(book) for book in STANDARDS]
    text = render_coverage(tables, width=width)
    assert max(cells(line) for line in text.splitlines()) <= width
    flat = " ".join(text.split())
    for table in tables:
        assert f"{table.standard}:{table.edition}, {len(table.rows)} clauses" in flat


def test_the_json_tells_the_same() -> None:
    data = json.loads(coverage_json([coverage(book) for book in STANDARDS]))
    assert [entry["standard"] for entry in data["standards"]] == ["IEC 60204-1", "NFPA 79"]
    for entry, book in zip(data["standards"], STANDARDS, strict=True):
        assert len(entry["clauses"]) == len(coverage(book).rows)
        assert sum(sum(ways.values()) for ways in entry["sums"].values()) == len(entry["clauses"])
        [drop] = [row for row in entry["clauses"] if row["title"].startswith("Voltage drop")] or [None]
        assert drop is None or drop["rules"] == ["voltage-drop-too-high"]


@pytest.mark.parametrize(
    ("arguments", "present", "absent"),
    [
        (["--standard", "iec"], "IEC 60204-1:2016", "NFPA 79:2021"),
        (["--standard", "na"], "NFPA 79:2021", "IEC 60204-1:2016"),
        ([], "NFPA 79:2021", None),
    ],
)
def test_the_command(arguments: list[str], present: str, absent: str | None) -> None:
    result = CliRunner().invoke(app, ["rule", "--clauses", *arguments])
    assert result.exit_code == 0
    assert present in result.output
    assert absent is None or absent not in result.output


def test_the_command_as_json_and_an_unknown_standard() -> None:
    result = CliRunner().invoke(app, ["rule", "--clauses", "--standard", "na", "--format", "json"])
    assert [entry["rulebook"] for entry in json.loads(result.output)["standards"]] == ["na"]
    assert CliRunner().invoke(app, ["rule", "--clauses", "--standard", "gost"]).exit_code == 2
