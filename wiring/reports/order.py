"""In which order findings, missing figures and names are printed: the same on every run."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from wiring.findings import Finding, NotJudged, Signal
from wiring.plan.source import Place
from wiring.wording import natural

_DIGITS = re.compile(r"(\d+)")


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """By signal word, then by file and line; a finding without a place after those that have one."""
    return sorted(findings, key=lambda one: (one.signal.rank, _where(one.place), one.rule, one.subjects, one.summary))


def by_rule(entries: Iterable[NotJudged]) -> list[NotJudged]:
    """What was not judged, the gravest question first, by rule, then by what is missing, then by subject."""
    return sorted(
        entries, key=lambda one: (one.signal.rank, one.rule, one.missing, [natural(name) for name in one.subjects])
    )


def merged(entries: Sequence[NotJudged]) -> list[NotJudged]:
    """One entry for each rule and missing value, with all its subjects, in the order of `by_rule`."""
    subjects: dict[tuple[str, str, Signal], list[str]] = {}
    for entry in by_rule(entries):
        subjects.setdefault((entry.rule, entry.missing, entry.signal), []).extend(entry.subjects)
    return [
        NotJudged(rule, tuple(dict.fromkeys(names)), missing, None, signal)
        for (rule, missing, signal), names in subjects.items()
    ]


def _where(place: Place | None) -> tuple[int, str, int, int]:
    return (1, "", 0, 0) if place is None else (0, place.file, place.line, place.column)
