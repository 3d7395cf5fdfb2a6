"""The report for people at a terminal: every finding in full, the budget, what was not judged, the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from wiring.findings import Finding, NotJudged, Report, Signal
from wiring.plan.source import Source
from wiring.reports import figures
from wiring.reports.lines import shortened
from wiring.reports.one_finding import place_words, print_finding
from wiring.reports.order import by_rule, merged, worst_first
from wiring.reports.page import Page
from wiring.reports.rule_text import RuleText, titles
from wiring.reports.words import CAUTIONS, missing_words, reference_words, verdict_words
from wiring.wording import counted

_NOT_JUDGED_FIRST = 5
_SUBJECTS_MOST = 6


def render_terminal(
    report: Report,
    sources: Mapping[str, Source],
    *,
    width: int,
    colour: bool,
    everything: bool = False,
    rules: Iterable[RuleText] = (),
    encoding: str = "utf-8",
) -> str:
    """The whole report in lines of at most `width` columns (32 at the least), escape sequences only with `colour`."""
    page = Page(width, encoding)
    names = titles(rules)
    page.text(f"Verdict: {verdict_words(report)}")
    page.text(summary_words(report, everything))
    page.blank()
    roots = worst_first(report.roots)
    grave = [one for one in roots if one.signal.rank <= Signal.WARNING.rank]
    _print_findings(page, grave, report, names, sources)
    _print_open(page, report.open_questions, everything)
    rest = roots[len(grave) :]
    full = [one for one in rest if everything or one.signal is Signal.CAUTION]
    _print_findings(page, full, report, names, sources)
    _print_short(page, [one for one in rest if one not in full])
    _print_untried(page, report.untried)
    _print_crashed(page, report.crashed)
    print_supplies(page, report.figures)
    _print_not_judged(page, report, everything)
    _print_accepted(page, report)
    print_cautions(page)
    return page.render(colour)


def _print_findings(
    page: Page, findings: Iterable[Finding], report: Report, names: Mapping[str, str], sources: Mapping[str, Source]
) -> None:
    for finding in findings:
        print_finding(page, finding, names.get(finding.rule, ""), sources, report.effects_of(finding))
        page.blank()


def _print_short(page: Page, findings: Sequence[Finding]) -> None:
    """What does no harm to people, a line each."""
    for finding in findings:
        page.text(f"{finding.signal} {reference_words(finding)}: {finding.summary}", 2, "-")
    if findings:
        page.blank()


def _print_open(page: Page, questions: tuple[NotJudged, ...], everything: bool) -> None:
    """The questions that must be answered, or accepted, before a verdict can be clear."""
    if not questions:
        return
    page.text("Open, and a DANGER or WARNING may hide behind each:")
    _print_questions(page, by_rule(questions) if everything else merged(questions), questions, everything)
    page.blank()


def summary_words(report: Report, everything: bool) -> str:
    """How many findings stand by signal word, how many are accepted, not judged, and how many rules were quiet."""
    counts = [(sum(one.signal is signal for one in report.standing), signal) for signal in Signal]
    found = ", ".join(f"{count} {signal}" for count, signal in counts if count) or "No findings"
    accepted = len(report.findings) - len(report.standing)
    follow = len(report.standing) - len(report.roots)
    found += f" ({follow} of them follow from others)" if follow else ""
    pieces = [found, *([f"{accepted} accepted"] if accepted else [])]
    if report.not_judged:
        hint = "" if everything else ": list with --all"
        pieces.append(f"{counted(len(report.not_judged), 'check')} not judged{hint}")
    return ". ".join([*pieces, f"{counted(report.quiet, 'rule')} quiet"]) + "."


def print_cautions(page: Page) -> None:
    """The cautions that every report ends with."""
    page.blank()
    for caution in CAUTIONS:
        page.text(caution, 2, "-")


def print_supplies(page: Page, computed: figures.Figures) -> None:
    """The budget of every supply in every state, when there is one."""
    grid = figures.supplies(computed)
    if grid.rows:
        page.text("Supplies; available means after derating")
        page.grid(grid)
        page.blank()


def _print_untried(page: Page, untried: int) -> None:
    """Where more mends are changes of the plan than a check tries."""
    if untried:
        verb = "has" if untried == 1 else "have"
        page.text(f"{counted(untried, 'change')} named above under Mend {verb} not been tried on this plan.")
        page.text("wiring change PLAN --mend RULE PART tries those of one finding.", 2)
        page.blank()


def _print_crashed(page: Page, crashed: tuple[str, ...]) -> None:
    if not crashed:
        return
    page.text("Rules that failed themselves, so that what they check stays unchecked:")
    page.text(", ".join(crashed), 2)
    page.blank()


def _print_not_judged(page: Page, report: Report, everything: bool) -> None:
    entries = tuple(one for one in report.not_judged if one not in report.open_questions)
    if not entries:
        return
    page.text(f"Not judged: {counted(len(entries), 'check')} for want of data. Not judged does not mean safe.")
    shown = by_rule(entries) if everything else merged(entries)[:_NOT_JUDGED_FIRST]
    _print_questions(page, shown, entries, everything)
    left = 0 if everything else len(entries) - _covered(entries, shown)
    if left:
        page.text(f"and {counted(left, 'check')} more: list with --all", 2)
    page.blank()


def _print_questions(page: Page, shown: Sequence[NotJudged], entries: Sequence[NotJudged], everything: bool) -> None:
    rule = ""
    for entry in shown:
        if entry.rule != rule:
            page.text(f"{entry.rule} ({sum(other.rule == entry.rule for other in entries)})", 2)
        rule = entry.rule
        page.text(_missing(entry, everything), 6, "    -")


def _missing(entry: NotJudged, everything: bool) -> str:
    if everything:
        reason = "" if entry.accepted is None else f" (accepted: {entry.accepted})"
        return f"{missing_words(entry)} ({entry.place}){reason}" if entry.place else missing_words(entry) + reason
    few = tuple(shortened(name, 40) for name in entry.subjects[:_SUBJECTS_MOST])
    left = len(entry.subjects) - len(few)
    few += (f"{left} more",) if left else ()
    return missing_words(NotJudged(entry.rule, few, entry.missing))


def _covered(entries: tuple[NotJudged, ...], shown: list[NotJudged]) -> int:
    """How many checks the merged entries stand for."""
    kinds = {(entry.rule, entry.missing) for entry in shown}
    return sum((entry.rule, entry.missing) in kinds for entry in entries)


def _print_accepted(page: Page, report: Report) -> None:
    accepted = [finding for finding in worst_first(report.findings) if finding.accepted is not None]
    if not accepted:
        return
    page.text("Accepted by the builder, not mended:")
    for finding in accepted:
        _print_one_accepted(page, finding)
    page.blank()


def _print_one_accepted(page: Page, finding: Finding) -> None:
    where = place_words(finding)
    page.text(f"{finding.signal} {finding.rule}{', ' if where else ''}{where}: {finding.summary}", 4, "  -")
    page.text(f"Reason: {finding.accepted or 'none given'}", 4)
