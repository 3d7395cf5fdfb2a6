"""Findings and the budget in the words that people read, as plain data for pages and documents."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wiring.documents.drawn import svg_safe
from wiring.findings import Finding, Report
from wiring.plan.source import Source
from wiring.reports import figures
from wiring.reports.lines import clean
from wiring.reports.page import Grid
from wiring.reports.words import figure, limit_words, number_words, reference_words, source_words


def finding_facts(report: Report, sources: Mapping[str, Source], names: Mapping[str, str]) -> list[dict[str, Any]]:
    """Every finding that no other explains, in the order of the report, each with what it explains in short; its
    number is that of its mark on the drawing."""
    roots = [(number, one) for number, one in enumerate(report.findings, 1) if not one.explained_by]
    return [
        _finding(number, one, sources, names) | {"effects": [_short(effect) for effect in report.effects_of(one)]}
        for number, one in roots
    ]


def _short(one: Finding) -> str:
    return f"{one.signal} {reference_words(one)}: {one.summary}"


def _finding(number: int, one: Finding, sources: Mapping[str, Source], names: Mapping[str, str]) -> dict[str, Any]:
    source = sources.get(one.place.file) if one.place else None
    numbers = [(entry.name, figure(entry.value, entry.unit), number_words(entry)) for entry in one.numbers]
    if one.limit:
        numbers.append(("limit", figure(one.limit.value, one.limit.unit), limit_words(one.limit)))
    elif one.clause:
        numbers.append(("clause", "", source_words(one.clause)))
    return {
        "number": number,
        "signal": one.signal.value,
        "rule": one.rule,
        "title": names.get(one.rule) or one.summary,
        "summary": one.summary,
        "subjects": " ".join(svg_safe(subject) for subject in one.subjects),
        "place": str(one.place) if one.place else "",
        "excerpt": [clean(line) for line in source.excerpt(one.place).split("\n")] if source and one.place else [],
        "numbers": numbers,
        "harm": one.harm,
        "mend": one.mend,
        "accepted": one.accepted,
    }


def budget_tables(report: Report) -> list[dict[str, Any]]:
    """The tables of the budget that hold something: title, headings, rows, and how many columns are names."""
    grids: list[tuple[str, Grid]] = [
        ("Supplies; available means after derating", figures.supplies(report.figures)),
        ("Protective devices", figures.protection(report.figures)),
        ("Conductors, the hardest used first", figures.conductors(report.figures)),
    ]
    return [
        {"title": title, "headings": grid.headings, "rows": grid.rows, "names": grid.names}
        for title, grid in grids
        if grid.rows
    ]
