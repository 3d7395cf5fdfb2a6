"""What the pack says of a report, in the words of all printers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wiring.documents.pack import Words
from wiring.findings import Report
from wiring.plan.source import Source
from wiring.reports import figures
from wiring.reports.finding_words import budget_tables, finding_facts
from wiring.reports.order import merged
from wiring.reports.rule_text import RuleText, titles
from wiring.reports.words import CAUTIONS, missing_words, verdict_words


def pack_words(report: Report, sources: Mapping[str, Source], rules: Iterable[RuleText]) -> Words:
    """Verdict, findings, what was not judged, budget and cautions for the pack."""
    return Words(
        verdict_words(report),
        CAUTIONS,
        finding_facts(report, sources, titles(rules)),
        [(entry.rule, missing_words(entry)) for entry in merged(report.not_judged)],
        budget_tables(report),
        figures.enclosure_words(report.figures),
    )
