"""All rules over one design: findings in order, what could not be judged, acceptances applied, crashes caught."""

from __future__ import annotations

import traceback
from collections.abc import Iterable
from dataclasses import replace

from wiring.design.design import Design
from wiring.design.figures import figures
from wiring.findings import Finding, NotJudged, Report, Signal
from wiring.plan.models import Acceptance
from wiring.plan.source import Place
from wiring.rules import SLUGS, rule_module
from wiring.rules.rule import Rule

CRASHED = "rule-crashed"
UNMATCHED = "acceptance-unmatched"


def _crash(slug: str, error: Exception) -> Finding:
    where = traceback.extract_tb(error.__traceback__)[-1]
    return Finding(
        CRASHED,
        Signal.WARNING,
        (slug,),
        f"The rule {slug} failed, and what it judges stays unknown ({type(error).__name__} in {where.name})",
        harm="A fault that this rule would have found stays unseen.",
        mend=("Report this with the plan that shows it, and check by hand what the rule judges.",),
    )


def _accepts(acceptance: Acceptance, finding: Finding) -> bool:
    return acceptance.finding == finding.rule and acceptance.part in finding.subjects


def _accepted(findings: Iterable[Finding], design: Design) -> list[Finding]:
    acceptances = design.plan.accepted
    used: set[int] = set()
    judged = []
    for finding in findings:
        match = next((n for n, entry in enumerate(acceptances) if _accepts(entry, finding)), None)
        if match is not None:
            used.add(match)
            finding = replace(finding, accepted=acceptances[match].reason)
        judged.append(finding)
    for n, entry in enumerate(acceptances):
        if n not in used:
            judged.append(_unmatched(entry, design.reading.place("accepted", n)))
    return judged


def _unmatched(entry: Acceptance, place: Place) -> Finding:
    return Finding(
        UNMATCHED,
        Signal.NOTICE,
        (entry.part,),
        f"The acceptance of {entry.finding} for {entry.part} matches no finding",
        place,
        harm="An acceptance that is no longer needed would hide a new fault of the same kind.",
        mend=("Remove it, or name the finding and part as the report prints them.",),
    )


def _order(finding: Finding) -> tuple[object, ...]:
    place = finding.place
    where = (place.file, place.line, place.column) if place else ("", 0, 0)
    return (finding.signal.rank, *where, finding.rule, finding.subjects)


def rule_texts(report: Report) -> list[Rule]:
    """The rules that a report speaks of, for the titles of its printers."""
    named = {finding.rule for finding in report.findings} | {item.rule for item in report.not_judged}
    return [rule_module(slug).RULE for slug in SLUGS if slug in named]


def judge(design: Design) -> Report:
    """Run every rule. A rule that fails becomes a finding of its own; the others still run."""
    findings: list[Finding] = []
    open_questions: list[NotJudged] = []
    crashed: list[str] = []
    quiet = 0
    for slug in SLUGS:
        try:
            results = list(rule_module(slug).check(design))
        except Exception as error:
            crashed.append(slug)
            findings.append(_crash(slug, error))
            continue
        clause = rule_module(slug).RULE.source(design.plan.rulebook)
        findings += [replace(item, clause=clause) for item in results if isinstance(item, Finding)]
        open_questions += [item for item in results if isinstance(item, NotJudged)]
        quiet += not results
    judged = sorted(_accepted(findings, design), key=_order)
    open_questions.sort(key=lambda item: (item.signal.rank, item.rule, item.subjects, item.missing))
    return Report(
        design.reading.source.file,
        design.plan.rulebook,
        tuple(judged),
        tuple(open_questions),
        figures(design),
        tuple(crashed),
        quiet,
    )
