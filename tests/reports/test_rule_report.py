"""The page that `rule` prints: sources, clauses, formula, and the example worked out."""

from __future__ import annotations

import pytest

from wiring.documents.coverage import rule_clauses, rule_formula
from wiring.reports.lines import cells
from wiring.reports.rule_page import example, rule_page, shown
from wiring.reports.rule_report import render_list, render_page
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.provenance import origins
from wiring.rules import SLUGS


@pytest.mark.parametrize("slug", SLUGS)
def test_the_example_is_worked_out_and_shown(slug: str) -> None:
    made = example(slug)
    lines = render_page(slug, 100).splitlines()
    findings = made.findings(slug)
    assert " ".join(findings[0].summary.split())[:20] in " ".join(" ".join(lines).split())
    assert "What it says of that plan, computed now" in lines
    for line in (*rule_page(slug).changes("Fires"), *rule_page(slug).changes("Quiet"), *shown(made, findings)):
        assert f"  {line}" in lines


@pytest.mark.parametrize("slug", SLUGS)
def test_sources_clauses_and_formula_are_on_the_page(slug: str) -> None:
    page = " ".join(render_page(slug, 200).split())
    for book in ("iec", "na"):
        assert all(clause in page for clause in rule_clauses(slug, book))
    assert rule_formula(slug) in page


@pytest.mark.parametrize("width", [40, 80])
@pytest.mark.parametrize("slug", ["conductor-overloaded", "cabinet-too-hot", "conductor-colour-wrong"])
def test_only_lines_of_the_plan_are_wider_than_the_page(slug: str, width: int) -> None:
    page = rule_page(slug)
    texts = [example(slug).text.splitlines(), page.changes("Fires"), page.changes("Quiet")]
    plan = {f"  {line}" for text in texts for line in text}
    wide = [line for line in render_page(slug, width).splitlines() if cells(line) > width]
    assert [line for line in wide if line not in plan] == []


def test_the_row_of_a_limit_is_found() -> None:
    """IEC 60204-1 table 5 asks for 0.75 mm2 for a power conductor in the enclosure (one source)."""
    page = " ".join(render_page("conductor-below-minimum-size", 200).split())
    assert "table iec/minimum_sizes.csv" in page
    assert "location machine, use control, construction single-flexible: minimum_mm2 1 (from memory)" in page


def test_a_figure_that_stands_in_no_row_names_its_table_only() -> None:
    source = Source("IEC 60204-1", "2016", "table 6", Standing.CONFIRMED)
    [row] = [o for o in origins("iec", Limit(13.5, "A", source)) if o.table.name == "iec/ampacity_machine"]
    assert [(r.text("size_mm2"), r.text("method")) for r in row.rows] == [("1.5", "B1")]  # IEC 60204-1 table 6
    [computed] = [o for o in origins("iec", Limit(13.4567, "A", source)) if o.table.name == "iec/ampacity_machine"]
    assert computed.rows == ()


def test_a_source_outside_the_tables_has_none() -> None:
    source = Source("data of the part", "", "highest voltage", Standing.COMPUTED)
    assert list(origins("na", Limit(1.0, "V", source))) == []


def test_an_unknown_rule() -> None:
    with pytest.raises(KeyError):
        render_page("no-such-rule", 80)
    with pytest.raises(KeyError):
        example("no-such-rule")


def test_the_list_names_every_rule() -> None:
    text = render_list(80)
    assert all(slug in text for slug in SLUGS)
