"""One line for each finding, then one with the verdict: for regular users, editors and search tools."""

from __future__ import annotations

from wiring.findings import Finding, Report
from wiring.reports.lines import clean
from wiring.reports.order import worst_first
from wiring.reports.words import CAUTION_IN_SHORT, reference_words, verdict_words


def render_brief(report: Report, encoding: str = "utf-8") -> str:
    """The worst first; an accepted finding keeps its line and says so. Lines are as long as they are."""
    lines = [_line(finding, report.plan) for finding in worst_first(report.findings)]
    last = f"{report.plan}: {verdict_words(report)} {CAUTION_IN_SHORT}"
    return "".join(f"{clean(line, encoding)}\n" for line in [*lines, last])


def _line(finding: Finding, plan: str) -> str:
    accepted = "" if finding.accepted is None else f" (accepted: {finding.accepted or 'no reason given'})"
    by = ", ".join(reference_words(one) for one in finding.explained_by)
    explained = f" (follows from {by})" if by else ""
    return f"{finding.place or plan}: {finding.signal} {finding.rule}: {finding.summary}{explained}{accepted}"
