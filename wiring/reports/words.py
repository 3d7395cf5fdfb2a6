"""What every printer says in the same words: the cautions, figures with units, limits, counts, the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from msgspec.structs import replace

from wiring.book_words import in_units_of
from wiring.findings import Finding, NotJudged, Number, Reference, Report, Verdict
from wiring.quantities import show, three_figures
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.units import OWNERS
from wiring.wording import counted

CAUTIONS = (
    "This tool assists; it does not certify. A clear report is no proof that a machine is safe.",
    "Local electrical code decides, and the authority having jurisdiction has the last word on it.",
    "Where the law asks for a qualified or licensed person, leave mains work, verification and commissioning to one.",
    "Before touching anything: isolate, lock off, wait for capacitors to discharge, prove every conductor dead.",
)
CAUTION_IN_SHORT = "This tool assists; it does not certify."
UNKNOWN = "not known"

_VERDICTS = {
    Verdict.STOP: "STOP. Keep the power off: mend every DANGER and WARNING, or accept each with its reason.",
    Verdict.MEND: "MEND. Mend or accept what is listed before the power goes on.",
    Verdict.ASK: "ASK. Nothing above NOTICE was found, but answer first what is open, or accept each with its reason.",
    Verdict.CLEAR: "CLEAR. Nothing above NOTICE was found by the checks that could be made.",
}


def figure(value: float | None, unit: str, book: str = "") -> str:
    """A value in the unit named, for people: "4.8 A", "1.5 mm2", "35 °C", "80 %" (80 with the unit %), "not known".

    A unit of the plan language is printed with a fitting prefix; any other one as it stands. The `book` of North
    America measures temperatures and lengths in units of its own.
    """
    if value is None or not isfinite(value):
        return UNKNOWN
    if own := in_units_of(value, unit, book):
        return own
    owner = next(iter(OWNERS.get(unit, ())), None)
    if owner is None:
        return f"{three_figures(value).removesuffix('.0')} {unit}".strip()
    return show(owner.in_si(value, unit), owner.name)


def reference_words(finding: Finding | Reference) -> str:
    """A finding in short: its rule, and whom it concerns."""
    return f"{finding.rule} ({', '.join(finding.subjects)})"


def share(value: float | None) -> str:
    """A fraction of 1 in percent."""
    return UNKNOWN if value is None or not isfinite(value) else show(value, "fraction")


def standard_of(source: Source) -> str:
    """The place in the standard alone, without how sure it is."""
    return str(replace(source, standing=Standing.CONFIRMED))


def source_words(source: Source) -> str:
    """The place in the standard and how sure it is."""
    cited = standard_of(source)
    return f"{cited} ({source.standing})" if cited else str(source.standing)


def limit_words(limit: Limit) -> str:
    """Where a limit comes from and how sure that is, with the note where sources disagree."""
    standing = source_words(limit.source)
    return f"{standing}; {limit.note}" if limit.note else standing


def number_words(number: Number) -> str:
    """What a figure of a finding is, and how sure the table row is on which it rests."""
    return "; ".join(part for part in (number.remark, source_words(number.source) if number.source else "") if part)


def verdict_words(report: Report) -> str:
    """The verdict with what to do, and how far it reaches."""
    words = _VERDICTS[report.verdict]
    if report.verdict is Verdict.ASK:
        words += f" Open: {counted(len(report.open_questions), 'question')} behind which a DANGER or WARNING may hide."
    if report.crashed:
        words += f" {counted(len(report.crashed), 'rule')} failed and judged nothing."
    if report.not_judged:
        words += f" {counted(len(report.not_judged), 'check')} could not be made."
    return words


def failed_words(crashed: Sequence[str]) -> str:
    """Which rules failed themselves, for whatever prints no findings; "" where all ran."""
    if not crashed:
        return ""
    return f"Failed, so that what they judge stays unchecked: {', '.join(crashed)}. Run wiring check for more."


def missing_words(entry: NotJudged) -> str:
    """What a check lacks, and for what."""
    subjects = ", ".join(entry.subjects)
    return f"{subjects}: {entry.missing}" if subjects else entry.missing
