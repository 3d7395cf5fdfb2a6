"""The report as JSON for other programs: stable keys in a stable order, numbers to six significant digits."""

from __future__ import annotations

import codecs
import json
import re
import unicodedata
from collections.abc import Iterable, Mapping
from math import isfinite
from typing import Any

from wiring.findings import Finding, NotJudged, Number, Report
from wiring.plan.fault import Fault, in_order
from wiring.plan.source import Place
from wiring.reports.order import by_rule, worst_first
from wiring.reports.words import standard_of
from wiring.rulebooks.citation import Limit
from wiring.wording import natural

FORMAT = 1
_SECTIONS = ("supplies", "conductors", "protection", "stops", "enclosure")
_SURROGATE = re.compile("[\ud800-\udfff]")


def report_data(report: Report) -> dict[str, Any]:
    """The report as plain data; keys and their order are part of format 1."""
    return {
        "format": FORMAT,
        "plan": report.plan,
        "rulebook": report.rulebook,
        "verdict": str(report.verdict),
        "findings": [finding_data(finding) for finding in worst_first(report.findings)],
        "not_judged": [_question(entry) for entry in by_rule(report.not_judged)],
        "figures": _figures(report.figures),
    }


def _question(entry: NotJudged) -> dict[str, Any]:
    data = {"rule": entry.rule, "subjects": list(entry.subjects), "missing": entry.missing}
    return data if entry.accepted is None else data | {"accepted": True, "reason": entry.accepted}


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding; file, line and column are null where it has no place, `reason` is there when it is accepted, and
    `explained_by` when it follows from others."""
    data: dict[str, Any] = {
        "rule": finding.rule,
        "signal": str(finding.signal),
        "subjects": list(finding.subjects),
        **_place(finding.place),
        "summary": finding.summary,
        "numbers": [_number(number) for number in finding.numbers],
        "limit": _limit(finding.limit),
        "harm": finding.harm,
        "mend": list(finding.mend),
        "accepted": finding.accepted is not None,
    }
    if finding.accepted is not None:
        data["reason"] = finding.accepted
    if finding.explained_by:
        data["explained_by"] = [{"rule": one.rule, "subjects": list(one.subjects)} for one in finding.explained_by]
    return data


def fault_data(faults: Iterable[Fault], plan: str) -> dict[str, Any]:
    """The faults of a plan that cannot be read, as plain data."""
    return {"format": FORMAT, "plan": plan, "faults": [_fault(fault) for fault in in_order(faults)]}


def to_json(data: Any, encoding: str = "utf-8") -> str:
    """The data as indented JSON; escapes stand for all but ASCII unless the stream is UTF-8 (RFC 8259, 8.1)."""
    text = json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False)
    if _is_utf8(encoding) and not _SURROGATE.search(text):
        return text.translate(_ESCAPES) + "\n"
    return json.dumps(data, ensure_ascii=True, indent=2, allow_nan=False) + "\n"


class _Escapes(dict[int, str]):
    """An escape for each character of JSON text that a terminal obeys or that turns text around, all else as it is."""

    def __missing__(self, code: int) -> str:
        one = chr(code)
        acts = code == 0x7F or (one != "\n" and unicodedata.category(one).startswith("C"))
        return self.setdefault(code, json.dumps(one)[1:-1] if acts else one)


_ESCAPES = _Escapes()


def _is_utf8(encoding: str) -> bool:
    try:
        return codecs.lookup(encoding).name == "utf-8"
    except LookupError:
        return False


def render_json(report: Report, encoding: str = "utf-8") -> str:
    """The report of format 1."""
    return to_json(report_data(report), encoding)


def render_fault_json(faults: Iterable[Fault], plan: str, encoding: str = "utf-8") -> str:
    """The faults of format 1."""
    return to_json(fault_data(faults, plan), encoding)


def rounded(value: Any) -> Any:
    """Plain data with every float to six significant digits and null for what is no finite number."""
    if isinstance(value, float):
        return float(f"{value:.6g}") + 0.0 if isfinite(value) else None
    if isinstance(value, Mapping):
        return {str(key): rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(item) for item in value]
    return value


def _place(place: Place | None) -> dict[str, Any]:
    if place is None:
        return {"file": None, "line": None, "column": None}
    return {"file": place.file, "line": place.line, "column": place.column}


def _number(number: Number) -> dict[str, Any]:
    plain = {"name": number.name, "value": rounded(number.value), "unit": number.unit}
    return plain | {"standing": str(number.source.standing)} if number.source else plain


def _limit(limit: Limit | None) -> dict[str, Any] | None:
    if limit is None:
        return None
    source = limit.source
    return {
        "value": rounded(limit.value),
        "unit": limit.unit,
        "source": standard_of(source),
        "standing": str(source.standing),
    }


def _fault(fault: Fault) -> dict[str, Any]:
    told = {"summary": fault.summary, "expected": fault.expected, "mend": fault.mend, "near": list(fault.near)}
    return _place(fault.place) | told


def _figures(figures: Mapping[str, Any]) -> dict[str, Any]:
    """The sections in their order, always all of them; ids in natural order, the figures of each as computed."""
    known = {name: figures.get(name) or {} for name in _SECTIONS}
    by_id = {name: _by_id(section) if name != "enclosure" else section for name, section in known.items()}
    more = {name: figures[name] for name in sorted(figures) if name not in known}
    data: dict[str, Any] = rounded(by_id | more)
    return data


def _by_id(section: Mapping[str, Any]) -> dict[str, Any]:
    return dict(sorted(section.items(), key=lambda item: natural(item[0])))
