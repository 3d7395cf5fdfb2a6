"""The one door to all printers, and the exit status that goes with a report."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum

from wiring.findings import Report, Signal, Verdict
from wiring.plan.fault import Fault
from wiring.plan.source import Source
from wiring.reports.rule_text import RuleText


class Style(StrEnum):
    """How a report is printed."""

    TEXT = "text"
    BRIEF = "brief"
    JSON = "json"
    SARIF = "sarif"


def render(
    report: Report,
    sources: Mapping[str, Source],
    style: Style | str,
    *,
    width: int = 80,
    colour: bool = False,
    everything: bool = False,
    rules: Iterable[RuleText] = (),
    encoding: str = "utf-8",
) -> str:
    """The report in a style, ready to write to a stream of that encoding; it ends with a line break.

    `sources` by file name give the entries as written, `rules` the titles; `width`, `colour` and `everything` (in
    place of one screen) count for text only. Raises ValueError for a style that does not exist, which is an error of
    the caller.
    """
    match Style(style):
        case Style.BRIEF:
            from wiring.reports.brief import render_brief

            return render_brief(report, encoding)
        case Style.JSON:
            from wiring.reports.json_report import render_json

            return render_json(report, encoding)
        case Style.SARIF:
            from wiring.reports.sarif import render_sarif

            return render_sarif(report, rules, encoding)
        case Style.TEXT:
            return _text(report, sources, width, colour, everything, rules, encoding)


def _text(
    report: Report,
    sources: Mapping[str, Source],
    width: int,
    colour: bool,
    everything: bool,
    rules: Iterable[RuleText],
    encoding: str,
) -> str:
    from wiring.reports.screen import render_screen
    from wiring.reports.terminal import render_terminal

    printer = render_terminal if everything else render_screen
    return printer(report, sources, width=width, colour=colour, rules=rules, encoding=encoding)


def render_faults(
    faults: Iterable[Fault],
    sources: Mapping[str, Source],
    style: Style | str,
    *,
    plan: str,
    width: int = 80,
    encoding: str = "utf-8",
    noun: str = "plan",
) -> str:
    """The faults of a plan that cannot be read, in a style; it ends with a line break. `noun` is what it is.

    Raises ValueError for a style that does not exist, which is an error of the caller.
    """
    from wiring.reports import faults as printed

    match Style(style):
        case Style.TEXT:
            return printed.render_fault_text(faults, sources, plan, width=width, encoding=encoding, noun=noun)
        case Style.BRIEF:
            return printed.render_fault_lines(faults, plan, encoding)
        case Style.JSON:
            from wiring.reports.json_report import render_fault_json

            return render_fault_json(faults, plan, encoding)
        case Style.SARIF:
            from wiring.reports.sarif import render_fault_sarif

            return render_fault_sarif(faults, plan, encoding)


def exit_status(report: Report, fail_on: Signal | None = None) -> int:
    """0 where the verdict is clear, else 1; with `fail_on` 0 where no finding so grave stands and every rule ran."""
    if fail_on is None:
        return int(report.verdict is not Verdict.CLEAR)
    return int(bool(report.crashed) or any(one.signal.rank <= fail_on.rank for one in report.standing))
