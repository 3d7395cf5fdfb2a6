"""All rules over one design: findings in order, what could not be judged, acceptances applied, crashes caught."""

from __future__ import annotations

import traceback
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from wiring.design.design import Design
from wiring.design.figures import SECTIONS
from wiring.findings import Finding, NotJudged, Report, Signal
from wiring.plan.models import Acceptance
from wiring.plan.source import Place
from wiring.rules import SLUGS, rule_module
from wiring.rules.rule import Rule

CRASHED = "rule-crashed"
UNMATCHED = "acceptance-unmatched"


#: What stands before the name of a section of figures that could not be computed, among the rules that failed.
_FIGURES = "figures-"


def _crash(name: str, error: Exception) -> Finding:
    where = traceback.extract_tb(error.__traceback__)[-1]
    what = (
        f"The figures of {name.removeprefix(_FIGURES)} could not be computed, and stay unknown"
        if name.startswith(_FIGURES)
        else f"The rule {name} failed, and what it judges stays unknown"
    )
    return Finding(
        CRASHED,
        Signal.WARNING,
        (name,),
        f"{what} ({type(error).__name__} in {where.name})",
        harm="A fault that it would have shown stays unseen.",
        mend=("Report this with the plan that shows it, and check by hand what it judges.",),
    )


def _figures(design: Design) -> tuple[dict[str, Any], list[tuple[str, Finding]]]:
    """The figures that could be computed, and the name and crash of those that could not."""
    found: dict[str, Any] = {}
    crashes = []
    for name, compute in SECTIONS.items():
        try:
            found[name] = compute(design)
        except Exception as error:
            crashes.append((f"{_FIGURES}{name}", _crash(f"{_FIGURES}{name}", error)))
    return found, crashes


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
    computed, crashes = _figures(design)
    crashed += [name for name, _ in crashes]
    findings += [finding for _, finding in crashes]
    judged = sorted(_accepted(findings, design), key=_order)
    open_questions.sort(key=lambda item: (item.signal.rank, item.rule, item.subjects, item.missing))
    return Report(
        design.reading.source.file,
        design.plan.rulebook,
        tuple(judged),
        tuple(open_questions),
        computed,
        tuple(crashed),
        quiet,
    )
