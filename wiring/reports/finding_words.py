"""Findings and the budget in the words that people read, as plain data for pages and documents."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wiring.documents.drawn import svg_safe
from wiring.findings import Finding, Report
from wiring.plan.source import Place, Source
from wiring.plan.whereabouts import Whereabouts
from wiring.reports import figures
from wiring.reports.page import Grid
from wiring.reports.words import figure, limit_words, number_words, reference_words, source_words
from wiring.reports.written import Setting, entry, place_words

#: Characters of an entry that a page shows, the longest wires of a plan among them.
_ENTRY_ROOM = 160


def finding_facts(report: Report, sources: Mapping[str, Source], names: Mapping[str, str]) -> list[dict[str, Any]]:
    """Every finding that no other explains, in the order of the report, each with what it explains in short; its
    number is that of its mark on the drawing."""
    setting = Setting(Whereabouts(sources), report.plan, _ENTRY_ROOM, book=report.rulebook)
    roots = [(number, one) for number, one in enumerate(report.findings, 1) if not one.explained_by]
    return [
        _finding(number, one, setting, names) | {"effects": [_short(effect) for effect in report.effects_of(one)]}
        for number, one in roots
    ]


def _short(one: Finding) -> str:
    return f"{one.signal} {reference_words(one)}: {one.summary}"


def _finding(number: int, one: Finding, setting: Setting, names: Mapping[str, str]) -> dict[str, Any]:
    book = setting.book
    numbers = [(entry.name, figure(entry.value, entry.unit, book), number_words(entry)) for entry in one.numbers]
    if one.limit:
        numbers.append(("limit", figure(one.limit.value, one.limit.unit, book), limit_words(one.limit)))
    elif one.clause:
        numbers.append(("clause", "", source_words(one.clause)))
    return {
        "number": number,
        "signal": one.signal.value,
        "rule": one.rule,
        "title": names.get(one.rule) or one.summary,
        "summary": one.summary,
        "subjects": " ".join(svg_safe(subject) for subject in one.subjects),
        "place": place_words(one.place, setting) if one.place else "",
        "entry": _entry(one.place, setting) if one.place else "",
        "numbers": numbers,
        "harm": one.harm,
        "mend": one.mend,
        "accepted": one.accepted,
    }


def _entry(place: Place, setting: Setting) -> str:
    """The entry of a place as it is written, "" where the file has no lines."""
    text = setting.whereabouts.line(place)
    return entry(text, place, setting.width, setting.encoding) if text is not None else ""


def budget_tables(report: Report) -> list[dict[str, Any]]:
    """The tables of the budget that hold something: title, headings, rows, and how many columns are names."""
    grids: list[tuple[str, Grid]] = [
        ("Supplies; available means after derating", figures.supplies(report.figures)),
        ("Protective devices", figures.protection(report.figures)),
        ("Conductors, the hardest used first", figures.conductors(report.figures, report.rulebook)),
        (
            " ".join(["Measured, in place of assumed or computed.", *figures.measured_words(report.figures)]),
            figures.measured(report.figures, report.rulebook),
        ),
    ]
    return [
        {"title": title, "headings": grid.headings, "rows": grid.rows, "names": grid.names}
        for title, grid in grids
        if grid.rows
    ]
