"""A plan's text, solved and judged: what a change starts from and what it comes to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from wiring.changes.edits import Edit, apply
from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.findings import Finding, NotJudged, Signal
from wiring.plan.fault import Fault, Refusal
from wiring.plan.source import Source
from wiring.plan.syntax import decode, read_bytes
from wiring.rules import SLUGS, rule_module
from wiring.rules.run import CRASHED

Key = tuple[str, tuple[str, ...]]
#: The beginnings of the rules that play control circuits through.
_OF_STOPS = ("stop-", "control-buzzer", "control-race", "restart-", "brake-stays-")


class Unreadable(Exception):  # noqa: N818 - the plan is at fault, not the program
    """The plan cannot be read: its faults, and the files that they stand in."""

    def __init__(self, faults: Sequence[Fault], sources: Mapping[str, Source], name: str) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults, self.sources, self.name = tuple(faults), sources, name


def is_about_stops(slug: str) -> bool:
    """Whether a rule plays control circuits through, which no size and no load changes."""
    return slug.startswith(_OF_STOPS)


#: The rules that play no control circuit through, and those that do.
OF_LOADS = tuple(slug for slug in SLUGS if not is_about_stops(slug))
OF_STOPS = tuple(slug for slug in SLUGS if is_about_stops(slug))


@dataclass(frozen=True)
class Judged:
    """What the rules say of a plan, without the figures that a report carries; findings that are accepted left out."""

    findings: tuple[Finding, ...]
    not_judged: tuple[NotJudged, ...]


def judged(design: Design, slugs: Sequence[str] = SLUGS) -> Judged:
    """The findings of these rules at or above CAUTION, worst first. A rule that fails itself is one of them."""
    findings: list[Finding] = []
    unknown: list[NotJudged] = []
    for slug in slugs:
        try:
            for item in rule_module(slug).check(design):
                (unknown if isinstance(item, NotJudged) else findings).append(item)
        except Exception as error:
            findings.append(_failed(slug, error))
    standing = [finding for finding in findings if _stands(finding, design)]
    standing.sort(key=lambda finding: (finding.signal.rank, finding.rule, finding.subjects))
    return Judged(tuple(standing), tuple(sorted(unknown, key=lambda one: (one.rule, one.subjects, one.missing))))


def _failed(slug: str, error: Exception) -> Finding:
    summary = f"The rule {slug} failed, and what it judges stays unknown ({type(error).__name__})"
    return Finding(CRASHED, Signal.WARNING, (slug,), summary)


def _stands(finding: Finding, design: Design) -> bool:
    accepted = any(one.finding == finding.rule and one.part in finding.subjects for one in design.plan.accepted)
    return not accepted and finding.signal.rank <= Signal.CAUTION.rank


def is_new(finding: Finding, known: Iterable[Finding]) -> bool:
    """Whether no known finding of the same rule covers all that this one speaks of."""
    return not any(other.rule == finding.rule and set(finding.subjects) <= set(other.subjects) for other in known)


@dataclass(frozen=True)
class Outcome:
    """A plan's text with its design; it is judged when that is asked for."""

    text: str
    file: str
    folder: Path
    design: Design
    sources: Mapping[str, Source]

    @cached_property
    def judged(self) -> Judged:
        """What all rules say."""
        return judged(self.design)

    @cached_property
    def standing(self) -> Mapping[Key, Finding]:
        """The findings at or above CAUTION that nobody has accepted, by rule and subjects."""
        return {(finding.rule, finding.subjects): finding for finding in self.judged.findings}

    def judge_beside(self, after: Outcome) -> None:
        """Judges this plan by what it takes to tell what `after`, which only adds to it, brings anew.

        The rules about stops take longest. What is added mends no stop, so where they say nothing of `after` they are
        not asked about this plan.
        """
        spoken = {finding.rule for finding in after.judged.findings}
        spoken |= {entry.rule for entry in after.judged.not_judged}
        slugs = [slug for slug in SLUGS if slug in spoken or not is_about_stops(slug)]
        self.__dict__.setdefault("judged", judged(self.design, slugs))

    def changed(self, edits: Sequence[Edit]) -> Outcome:
        """The plan with the edits made. Raises Unreadable where what comes out is no plan."""
        return outcome_of(apply(self.text, edits), self.file, self.folder)


def outcome_of(text: str, file: str, folder: Path) -> Outcome:
    """The outcome of a text; `file` is what reports call it, `folder` where files that it names lie."""
    loaded = load_text(text, file, folder)
    if loaded.design is None:
        raise Unreadable(loaded.faults, loaded.sources, loaded.name)
    return Outcome(text, file, folder, loaded.design, loaded.sources)


def open_plan(path: Path) -> Outcome:
    """The plan of a file. Raises Unreadable with its faults."""
    data = read_bytes(path)
    text = data if isinstance(data, Fault) else decode(str(path), data)
    if isinstance(text, Fault):
        raise Unreadable((text,), {}, str(path))
    return outcome_of(text, str(path), path.parent)


def stands_at(text: str, path: Path) -> None:
    """Raises Refusal where a plan's text cannot be read at a path, for want of the files that it names."""
    try:
        outcome_of(text, str(path), path.parent)
    except Unreadable as error:
        problem = f"the plan cannot be read as {path}: {error.faults[0].summary}"
        raise Refusal(problem, "a place beside the files that the plan names", complete=True) from None
