"""The report in full for people at a terminal: every finding, the budget, what was not judged, the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from wiring.findings import Finding, NotJudged, Report, Signal
from wiring.plan.source import Source
from wiring.plan.whereabouts import Whereabouts
from wiring.reports import figures
from wiring.reports.lines import shortened
from wiring.reports.one_finding import print_finding, subject_words
from wiring.reports.order import by_rule, worst_first
from wiring.reports.page import Page
from wiring.reports.rule_text import RuleText, titles
from wiring.reports.words import CAUTIONS, missing_words, verdict_words
from wiring.reports.written import Setting, place_words
from wiring.wording import counted

_SUBJECTS_MOST = 6


def render_terminal(
    report: Report,
    sources: Mapping[str, Source],
    *,
    width: int,
    colour: bool,
    rules: Iterable[RuleText] = (),
    encoding: str = "utf-8",
) -> str:
    """The whole report in lines of at most `width` columns (32 at the least), escape sequences only with `colour`."""
    page = Page(width, encoding)
    setting = Setting(Whereabouts(sources), report.plan, page.width, encoding, report.rulebook)
    names = titles(rules)
    page.text(f"Verdict: {verdict_words(report)}")
    page.text(summary_words(report))
    page.blank()
    roots = worst_first(report.roots)
    grave = [one for one in roots if one.signal.rank <= Signal.WARNING.rank]
    _print_findings(page, grave, report, names, setting)
    _print_open(page, report.open_questions, setting)
    _print_findings(page, roots[len(grave) :], report, names, setting)
    _print_untried(page, report.untried)
    print_crashed(page, report.crashed)
    print_supplies(page, report.figures)
    print_measured(page, report)
    _print_not_judged(page, report, setting)
    _print_accepted(page, report, setting)
    print_cautions(page)
    return page.render(colour)


def _print_findings(
    page: Page, findings: Iterable[Finding], report: Report, names: Mapping[str, str], setting: Setting
) -> None:
    for finding in findings:
        print_finding(page, finding, names.get(finding.rule, ""), setting, report.effects_of(finding))
        page.blank()


def _print_open(page: Page, questions: tuple[NotJudged, ...], setting: Setting) -> None:
    """The questions that must be answered, or accepted, before a verdict can be clear."""
    if not questions:
        return
    page.text("Open, and a DANGER or WARNING may hide behind each:")
    _print_questions(page, questions, setting)
    page.blank()


def summary_words(report: Report) -> str:
    """How many findings stand by signal word, how many are accepted, and how many rules were quiet."""
    counts = [(sum(one.signal is signal for one in report.standing), signal) for signal in Signal]
    found = ", ".join(f"{count} {signal}" for count, signal in counts if count) or "No findings"
    accepted = len(report.findings) - len(report.standing)
    follow = len(report.standing) - len(report.roots)
    found += f" ({follow} of them follow from others)" if follow else ""
    pieces = [found, *([f"{accepted} accepted"] if accepted else [])]
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


def print_measured(page: Page, report: Report) -> None:
    """Measured values beside those that they replace, and the findings that come and go by them."""
    grid = figures.measured(report.figures, report.rulebook)
    if not grid.rows:
        return
    page.text("Measured values take the place of what was assumed or computed")
    page.grid(grid)
    for words in figures.measured_words(report.figures):
        page.text(words, 2)
    page.blank()


def _print_untried(page: Page, untried: int) -> None:
    """Where more mends are changes of the plan than a check tries."""
    if untried:
        verb = "has" if untried == 1 else "have"
        page.text(f"{counted(untried, 'change')} named above under Mend {verb} not been tried on this plan.")
        page.text("wiring change PLAN --mend RULE PART tries those of one finding.", 2)
        page.blank()


def print_crashed(page: Page, crashed: tuple[str, ...]) -> None:
    """The rules that failed themselves, where any did."""
    if not crashed:
        return
    page.text("Rules that failed themselves, so that what they check stays unchecked:")
    page.text(", ".join(crashed), 2)
    page.blank()


def _print_not_judged(page: Page, report: Report, setting: Setting) -> None:
    entries = tuple(one for one in report.not_judged if one not in report.open_questions)
    if not entries:
        return
    page.text(f"Not judged: {counted(len(entries), 'check')} for want of data. Not judged does not mean safe.")
    _print_questions(page, entries, setting)
    page.blank()


def _print_questions(page: Page, entries: Sequence[NotJudged], setting: Setting) -> None:
    rule = ""
    for entry in by_rule(entries):
        if entry.rule != rule:
            page.text(f"{entry.rule} ({sum(other.rule == entry.rule for other in entries)})", 2)
        rule = entry.rule
        where = f" ({place_words(entry.place, setting)})" if entry.place else ""
        reason = "" if entry.accepted is None else f" (accepted: {entry.accepted})"
        page.text(f"{missing_words(entry)}{where}{reason}", 6, "    -")


def missing_in_short(entry: NotJudged) -> str:
    """What a check lacks and for what, of many names the first six."""
    few = tuple(shortened(name, 40) for name in entry.subjects[:_SUBJECTS_MOST])
    left = len(entry.subjects) - len(few)
    few += (f"{left} more",) if left else ()
    return missing_words(NotJudged(entry.rule, few, entry.missing))


def _print_accepted(page: Page, report: Report, setting: Setting) -> None:
    accepted = [finding for finding in worst_first(report.findings) if finding.accepted is not None]
    if not accepted:
        return
    page.text("Accepted by the builder, not mended:")
    for finding in accepted:
        where = [place_words(finding.place, setting)] if finding.place else []
        named = ", ".join([f"{finding.signal} {finding.rule}", *where, *filter(None, [subject_words(finding)])])
        page.text(f"{named}: {finding.summary}", 4, "  -")
        page.text(f"Reason: {finding.accepted or 'none given'}", 4)
    page.blank()
