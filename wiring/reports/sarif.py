"""The report as SARIF 2.1.0 (OASIS standard), for code hosts and editors that show results beside the file.

What could not be judged is a result of kind "open" (SARIF 2.1.0, 3.27.9), an accepted finding carries a suppression,
a crashed rule is a notification of a run that did not succeed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from importlib.metadata import PackageNotFoundError, version
from typing import Any
from urllib.parse import quote

from wiring.findings import Finding, NotJudged, Report, Signal
from wiring.plan.fault import Fault, in_order
from wiring.plan.source import Place
from wiring.reports.json_report import finding_data, to_json
from wiring.reports.order import by_rule, worst_first
from wiring.reports.rule_text import RuleText
from wiring.reports.words import CAUTIONS, missing_words

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
FAULT_RULE = "plan-fault"
_FAULT_EXIT = 2
_LEVELS = {Signal.DANGER: "error", Signal.WARNING: "error", Signal.CAUTION: "warning", Signal.NOTICE: "note"}
_LINK = re.compile(r"\[([^\]]*)\]\(")
_DRIVE = re.compile(r"[A-Za-z]:/")

Record = dict[str, Any]


def render_sarif(report: Report, rules: Iterable[RuleText] = (), encoding: str = "utf-8") -> str:
    """Findings, what was not judged and crashed rules as one SARIF run."""
    return to_json(report_log(report, rules), encoding)


def render_fault_sarif(faults: Iterable[Fault], plan: str, encoding: str = "utf-8") -> str:
    """The faults of a plan that cannot be read as one SARIF run that did not succeed."""
    return to_json(fault_log(faults, plan), encoding)


def report_log(report: Report, rules: Iterable[RuleText] = ()) -> Record:
    """The SARIF log as plain data."""
    findings, entries = worst_first(report.findings), by_rule(report.not_judged)
    named = [one.rule for one in findings] + [one.rule for one in entries] + list(report.crashed)
    descriptors = _descriptors(rules, named)
    indices = {descriptor["id"]: index for index, descriptor in enumerate(descriptors)}
    results = [_finding(one, indices, report.plan) for one in findings]
    results += [_not_judged(one, indices, report.plan) for one in entries]
    invocation: Record = {"executionSuccessful": not report.crashed}
    if report.crashed:
        invocation["toolExecutionNotifications"] = [_crash(slug, indices[slug]) for slug in report.crashed]
    return _log(descriptors, results, invocation, report.plan)


def fault_log(faults: Iterable[Fault], plan: str) -> Record:
    """The SARIF log of a plan that cannot be read, as plain data."""
    descriptor = {"id": FAULT_RULE, "shortDescription": _message("The plan cannot be read as it is written.")}
    results = [_fault(fault, plan) for fault in in_order(faults)]
    return _log([descriptor], results, {"executionSuccessful": False, "exitCode": _FAULT_EXIT}, plan)


def _log(descriptors: list[Record], results: list[Record], invocation: Record, plan: str) -> Record:
    """A log of one run, told apart from those of other plans by its id (SARIF 2.1.0, 3.17.3)."""
    driver: Record = {"name": "wiring", **_version(), "fullDescription": _message(" ".join(CAUTIONS))}
    run = {
        "tool": {"driver": driver | {"rules": descriptors}},
        "automationDetails": {"id": f"wiring/{_uri(plan)}/"},
        "columnKind": "unicodeCodePoints",
        "invocations": [invocation],
        "results": results,
    }
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def _version() -> Record:
    try:
        return {"version": version("wiring")}
    except PackageNotFoundError:
        return {}


def _descriptors(rules: Iterable[RuleText], named: Iterable[str]) -> list[Record]:
    """Every rule given, by slug, and those that only a result names."""
    known: dict[str, Record] = {
        rule.slug: {
            "id": rule.slug,
            "shortDescription": _message(rule.title),
            **({"fullDescription": _message(rule.harm)} if rule.harm else {}),
        }
        for rule in rules
    }
    for slug in named:
        known.setdefault(slug, {"id": slug})
    return [known[slug] for slug in sorted(known)]


def _finding(finding: Finding, indices: Mapping[str, int], plan: str) -> Record:
    sentences = [finding.summary, finding.harm, *(f"To mend: {way}" for way in finding.mend)]
    result: Record = {
        "ruleId": finding.rule,
        "ruleIndex": indices[finding.rule],
        "level": _LEVELS[finding.signal],
        "message": _message(_joined(sentences)),
        "locations": [_location(finding.place, plan, finding.subjects)],
        "properties": {"signal": str(finding.signal), **_facts(finding)},
    }
    if finding.because:
        result["relatedLocations"] = [
            _location(cause.place, plan) | {"id": number, "message": _message(cause.remark)}
            for number, cause in enumerate(finding.because, 1)
        ]
    if finding.accepted is not None:
        result["suppressions"] = [{"kind": "inSource", "justification": finding.accepted}]
    return result


def _facts(finding: Finding) -> Record:
    data = finding_data(finding)
    return {key: data[key] for key in ("subjects", "numbers", "limit", "explained_by") if data.get(key)}


def _not_judged(entry: NotJudged, indices: Mapping[str, int], plan: str) -> Record:
    return {
        "ruleId": entry.rule,
        "ruleIndex": indices[entry.rule],
        "kind": "open",
        "level": "none",
        "message": _message(f"Not judged. {missing_words(entry)}"),
        "locations": [_location(entry.place, plan, entry.subjects)],
    }


def _crash(slug: str, index: int) -> Record:
    return {
        "level": "error",
        "message": _message(f"The rule {slug} failed itself; what it checks stays unchecked."),
        "associatedRule": {"id": slug, "index": index},
    }


def _fault(fault: Fault, plan: str) -> Record:
    near = f"Nearest known: {', '.join(fault.near)}" if fault.near else ""
    sentences = [fault.summary, f"Expected: {fault.expected}" if fault.expected else "", near, fault.mend]
    result: Record = {
        "ruleId": FAULT_RULE,
        "ruleIndex": 0,
        "level": "error",
        "message": _message(_joined(sentences)),
        "locations": [_location(fault.place, plan)],
    }
    if fault.other:
        result["relatedLocations"] = [
            _location(place, plan) | {"id": number} for number, place in enumerate(fault.other, 1)
        ]
    return result


def _location(place: Place | None, plan: str, subjects: Sequence[str] = ()) -> Record:
    physical: Record = {"artifactLocation": {"uri": _uri(place.file if place else plan)}}
    if place:
        physical["region"] = {
            "startLine": place.line,
            "startColumn": place.column,
            "endColumn": place.column + max(place.length, 1),
        }
    location: Record = {"physicalLocation": physical}
    if subjects:
        location["logicalLocations"] = [{"name": name} for name in subjects]
    return location


def _uri(file: str) -> str:
    """A relative reference, or a file URI for an absolute path (RFC 3986, RFC 8089)."""
    path = file.replace("\\", "/")
    if _DRIVE.match(path):
        path = f"/{path}"
    quoted = quote(path.encode("utf-8", "replace"), safe="/")
    return f"file://{quoted}" if path.startswith("/") else quoted


def _joined(sentences: Iterable[str]) -> str:
    return " ".join(text if text.endswith((".", "!", "?")) else f"{text}." for text in sentences if text)


def _message(text: str) -> Record:
    """A message; braces are doubled and what would read as a link is escaped (SARIF 2.1.0, 3.11.5 and 3.11.6)."""
    doubled = text.replace("{", "{{").replace("}", "}}")
    return {"text": _LINK.sub(r"\\[\1\\](", doubled)}
