"""What the pack says of a report, in the words of all printers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wiring.design.design import Design
from wiring.documents.pack import Words
from wiring.findings import Report
from wiring.plan.source import Source
from wiring.powerup.sheet import build
from wiring.reports import figures
from wiring.reports.finding_words import budget_tables, finding_facts
from wiring.reports.order import merged
from wiring.reports.power_up_rows import sheet_data
from wiring.reports.rule_text import RuleText, titles
from wiring.reports.words import CAUTIONS, missing_words, verdict_words


def pack_words(design: Design, report: Report, sources: Mapping[str, Source], rules: Iterable[RuleText]) -> Words:
    """Verdict, findings, what was not judged, budget, cautions and the first power-up for the pack."""
    power_up = build(design, report.crashed)
    return Words(
        verdict_words(report),
        CAUTIONS,
        finding_facts(report, sources, titles(rules)),
        [(entry.rule, missing_words(entry)) for entry in merged(report.not_judged)],
        budget_tables(report),
        figures.enclosure_words(report.figures, report.rulebook),
        lambda ends: sheet_data(power_up.sheet(), power_up.survey, ends),
    )
