"""What is printed of several plans: each report, then one table of all; or one document for other programs."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.findings import Signal
from wiring.reports.json_report import FORMAT, to_json
from wiring.reports.lines import cells, clean
from wiring.reports.page import Page
from wiring.reports.side_by_side import Checked
from wiring.reports.words import CAUTION_IN_SHORT
from wiring.wording import counted


def render_many(found: Sequence[Checked], style: str, *, width: int, encoding: str = "utf-8") -> str:
    """All of them in a style: text and brief end with a table, json is `{format, plans}`, sarif one log of all runs."""
    if style == "json":
        return to_json({"format": FORMAT, "plans": [_document(one) for one in found]}, encoding)
    if style == "sarif":
        return to_json(_one_log(found), encoding)
    told = "".join(_told(one, style, encoding) for one in found)
    return told + _table(found, width, encoding)


def _told(one: Checked, style: str, encoding: str) -> str:
    """The report of a plan; in text under its name, and none of a plan that is clear."""
    if style == "brief":
        return str(one.printed)
    return "" if one.verdict == "clear" else f"{clean(one.plan, encoding)}\n\n{one.printed.rstrip()}\n\n"


def _document(one: Checked) -> object:
    """The report of a plan; where the tool itself failed, its words alone."""
    return {"plan": one.plan, "failed": one.printed.strip()} if isinstance(one.printed, str) else one.printed


def _one_log(found: Sequence[Checked]) -> dict[str, object]:
    """One SARIF log with the run of every plan; a plan that was not judged is a run that did not succeed."""
    logs = [one.printed for one in found if not isinstance(one.printed, str)]
    runs = [run for log in logs for run in log["runs"]]
    runs += [_failed_run(one) for one in found if isinstance(one.printed, str)]
    first = logs[0] if logs else {"$schema": "", "version": "2.1.0"}
    return {**first, "runs": runs}


def _failed_run(one: Checked) -> dict[str, object]:
    words = {"level": "error", "message": {"text": one.printed.strip()}}
    invocation = {"executionSuccessful": False, "toolExecutionNotifications": [words]}
    return {"tool": {"driver": {"name": "wiring"}}, "invocations": [invocation], "results": []}


def _table(found: Sequence[Checked], width: int, encoding: str) -> str:
    """Verdict and counts in columns, the name of the plan last, so that it can be as long as there is room."""
    page = Page(width, encoding)
    page.text(f"{counted(len(found), 'plan')}, {sum(one.verdict == 'clear' for one in found)} clear")
    headings = ("Verdict", *(str(signal) for signal in Signal), "Open")
    rows = [(one.verdict.upper(), *_counts(one)) for one in found]
    widths = [max(map(len, column)) for column in zip(headings, *rows, strict=True)]
    for row, name in zip((headings, *rows), ("Plan", *(one.plan for one in found)), strict=True):
        cells_of = list(zip(row, widths, strict=True))
        first, rest = cells_of[0], cells_of[1:]
        lead = "  ".join((f"  {first[0]:<{first[1]}}", *(f"{cell:>{room}}" for cell, room in rest)))
        page.lines([f"{lead}  {_end_of(page.clean(name), page.width - len(lead) - 2)}"])
    page.blank()
    page.text(CAUTION_IN_SHORT)
    return page.render(colour=False)


def _end_of(name: str, room: int) -> str:
    """The end of a path, which tells plans apart."""
    if cells(name) <= room:
        return name
    while cells(name) > max(room - 3, 1):
        name = name[1:]
    return f"...{name}"


def _counts(one: Checked) -> tuple[str, ...]:
    if not one.counts:
        return ("-",) * (len(Signal) + 1)
    return tuple(str(count or "") for count in (*one.counts, one.open_questions))
