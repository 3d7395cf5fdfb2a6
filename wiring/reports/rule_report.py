"""Pages of rules for the terminal: one page, and the list of all."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.documents.coverage import STANDARDS, rule_clauses, rule_formula
from wiring.plan.whereabouts import Whereabouts
from wiring.reports.lines import clean, indented, wrapped
from wiring.reports.one_finding import print_finding
from wiring.reports.page import Page
from wiring.reports.rule_page import example, example_plan, rule_page, shown
from wiring.reports.words import figure
from wiring.reports.written import Setting
from wiring.rulebooks.citation import Limit, Source
from wiring.rulebooks.provenance import origins
from wiring.rulebooks.tables import Row
from wiring.rules import SLUGS, rule_module
from wiring.rules.rule import Rule

_BOOKS = {"iec": "IEC", "na": "North America", "both": "both rulebooks"}
_ROWS_MOST = 3


def _paragraphs(text: str, width: int, indent: int = 0) -> list[str]:
    lines: list[str] = []
    for paragraph in text.split("\n\n"):
        words = " ".join(paragraph.split())
        lines += ["", *(indented(words, width, indent) if indent else wrapped(words, width))]
    return lines


def _cited(source: Source) -> str:
    """The source with its standing, also where the plain citation leaves it out."""
    said = str(source)
    return said if str(source.standing) in said else f"{said} ({source.standing})"


def _rests_on(rule: Rule, width: int) -> list[str]:
    lines = ["", "Rests on"]
    for book, source in rule.sources:
        lines += indented(f"{_BOOKS[book]}: {_cited(source)}", width, 2)
    for book, standard in STANDARDS.items():
        if clauses := rule_clauses(rule.slug, book):
            lines += indented(f"{standard}, clauses that it checks: {', '.join(clauses)}", width, 2)
    if formula := rule_formula(rule.slug):
        lines += ["", "Formula", *indented(formula, width, 2)]
    return lines


def _row_words(row: Row, keys: tuple[str, ...]) -> str:
    """A row by its key and figures: size_mm2 1.5, method B1: ampacity_a 13.5."""
    named = ", ".join(f"{key} {row.cells[key]}" for key in keys if row.cells[key] not in ("", None))
    figures = ", ".join(f"{name} {cell:g}" for name, cell in row.cells.items() if isinstance(cell, float))
    return f"{named}: {figures}" if figures else named


def _tables(book: str, limit: Limit, width: int) -> list[str]:
    """The tables that a limit was read from, with the row where the figure stands in one as it is."""
    lines = indented(f"{figure(limit.value, limit.unit)}: {_cited(limit.source)}", width, 2)
    if limit.note:
        lines += indented(limit.note, width, 4)
    found = list(origins(book, limit))
    read = [origin for origin in found if origin.rows]
    for origin in read or found:
        lines += indented(f"table {origin.table.name}.csv, {len(origin.table.rows)} rows", width, 4)
        for row in origin.rows[:_ROWS_MOST]:
            lines += indented(f"{_row_words(row, origin.table.keys)} ({row.source.standing})", width, 6)
        if not origin.rows:
            lines += indented("the figure is computed from its rows", width, 6)
    return lines


def _changes(lines: Sequence[str]) -> list[str]:
    return [f"  {line}" for line in lines]


def _fires(slug: str, width: int, encoding: str) -> list[str]:
    """The plan in which it fires, as far as it matters, what it says of that now, and where its limits stand."""
    page, made = rule_page(slug), example(slug)
    findings = made.findings(slug)
    about = example_plan(page.plan).text.partition("\n")[0].removeprefix("# ")
    told = Page(width, encoding)
    if findings:
        setting = Setting(Whereabouts(made.loaded.sources), made.loaded.name, told.width, encoding)
        print_finding(told, findings[0], "", setting)
    if more := len(findings) - 1:
        told.text(f"({more} more of this kind)", 2)
    lines = ["", "A plan in which it fires", *indented(f"{about} Its plan, {page.plan}.yaml, with", width, 2)]
    lines += _changes(page.changes("Fires"))
    lines += ["", "What of it matters here", *_changes(list(shown(made, findings)))]
    lines += ["", "What it says of that plan, computed now", "", *told.render(colour=False).rstrip("\n").split("\n")]
    limits = {(one.limit.value, str(one.limit.source)): one.limit for one in findings if one.limit}
    if limits:
        lines += ["", "Where the limit stands"]
        for limit in limits.values():
            lines += _tables(made.book, limit, width)
    return lines


def render_page(slug: str, width: int, encoding: str = "utf-8") -> str:
    """The page of a rule, its example worked out. Raises KeyError for a slug that no rule has."""
    page = rule_page(slug)
    rule = page.rule
    lines = [*indented(rule.title, width, len(rule.signal) + 2, rule.signal), rule.slug]
    lines += _paragraphs(page.headline, width)
    if page.about:
        lines += _paragraphs(page.about, width)
    lines += ["", "Harm", *indented(rule.harm, width, 2), *_rests_on(rule, width), *_fires(slug, width, encoding)]
    lines += ["", "The same plan put right", *_changes(page.changes("Quiet"))]
    for heading in ("Not judged", "Known limits"):
        if heading in page.sections:
            lines += ["", heading, *_paragraphs(page.sections[heading], width, 2)[1:]]
    return "\n".join(clean(line, encoding) for line in lines) + "\n"


def render_list(width: int, encoding: str = "utf-8") -> str:
    """Every rule with its signal word and title."""
    room = max(len(slug) for slug in SLUGS) + 2
    lines = []
    for slug in SLUGS:
        rule = rule_module(slug).RULE
        lines += indented(f"{rule.signal:<8} {rule.title}", width, room, f"{slug:<{room}}")
    return "\n".join(clean(line, encoding) for line in lines) + "\n"
