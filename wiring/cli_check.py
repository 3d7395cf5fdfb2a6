"""The commands that judge: check, of one plan or of many side by side, and budget."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import (
    colour,
    destination,
    encoding,
    end_with_failed,
    in_state,
    opened,
    refuse,
    save,
    width,
    write,
)

if TYPE_CHECKING:
    from wiring.findings import Signal


class Format(StrEnum):
    """How `check` prints."""

    TEXT = "text"
    BRIEF = "brief"
    JSON = "json"
    SARIF = "sarif"
    HTML = "html"


class FailOn(StrEnum):
    """The mildest signal word that makes the exit status 1."""

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"


def check(
    plans: Annotated[list[Path], Argument(metavar="PLAN", help="plan files, or folders with plans in them")],
    format: Annotated[Format, Option(help="how to print the findings")] = Format.TEXT,
    state: Annotated[str | None, Option(help="judge this state of the plan only")] = None,
    fail_on: Annotated[
        FailOn | None, Option(help="mildest finding that makes the exit status 1, in place of the verdict")
    ] = None,
    all_: Annotated[bool, Option("--all", help="everything in full, in place of one screen")] = False,
    out: Annotated[Path | None, Option(metavar="FILE", help="write it to this file")] = None,
) -> None:
    """Solve a plan and print the verdict, its findings, power budget, and what was not judged.

    Several plans are judged side by side, each told in short (--all: in full); one that fails does not stop the rest,
    and a table of all comes last.

    Exit status: 0 every verdict is clear (or no finding at or above --fail-on), 1 one is not or a rule failed itself,
    2 a plan cannot be read.
    """
    from wiring.findings import Signal

    signal = Signal(fail_on.value.upper()) if fail_on else None
    if len(plans) == 1 and not plans[0].is_dir():
        _check_one(plans[0], format, state, signal, all_, out)
    _check_many(plans, format, state, signal, all_, out)


def _check_one(
    plan: Path, format: Format, state: str | None, fail_on: Signal | None, everything: bool, out: Path | None
) -> None:
    from wiring.changes.judging import judged_with_mends
    from wiring.reports import exit_status, render
    from wiring.rules.run import rule_texts

    if format is Format.HTML:
        from wiring import cli_documents

        cli_documents.page_of(plan, state, fail_on, out)
    if out:
        out = destination(out, "The report", plan)
    found = opened(plan, format.value)
    report = judged_with_mends(in_state(found.design, state))
    text = render(
        report,
        found.sources,
        format.value,
        width=width(),
        colour=format is Format.TEXT and out is None and colour(),
        everything=everything,
        rules=rule_texts(report),
        encoding="utf-8" if out else encoding(),
    )
    if out:
        save(out, text, found.inputs)
    else:
        write(text)
    raise SystemExit(exit_status(report, fail_on))


def _check_many(
    named: list[Path], format: Format, state: str | None, fail_on: Signal | None, everything: bool, out: Path | None
) -> None:
    from wiring.reports.many import render_many
    from wiring.reports.progress import progress_bar
    from wiring.reports.side_by_side import Asked, checked_side_by_side, plans_in

    if format is Format.HTML:
        refuse("A page holds one plan. Name one plan file, or choose text, brief, json or sarif for several.")
    plans = plans_in(named)
    if not plans:
        refuse(f"There is no plan in {', '.join(map(str, named))}: no YAML file there begins with `format:`.")
    if out:
        for plan in plans:
            out = destination(out, "The report", plan)
    asked = Asked(
        format.value, state, fail_on, everything, width(), out is None and colour(), "utf-8" if out else encoding()
    )
    with progress_bar(colour()) as progress:
        found = checked_side_by_side(plans, asked, progress)
    text = render_many(found, format.value, width=asked.width, encoding=asked.encoding)
    if out:
        save(out, text, plans)
    else:
        write(text)
    raise SystemExit(max(one.status for one in found))


def budget(
    plan: Annotated[Path, Argument(metavar="PLAN", help="the plan file of the machine")],
    state: Annotated[str | None, Option(help="this state of the plan only")] = None,
    all_rows: Annotated[bool, Option("--all", help="every conductor, not only the most loaded")] = False,
) -> None:
    """Print the supply tables: current, peak, what is available, headroom; cabinet heat; conductors."""
    from wiring.reports.budget import render_budget
    from wiring.rules.run import judge

    found = opened(plan, "text")
    report = judge(in_state(found.design, state))
    write(render_budget(report, width=width(), colour=colour(), all_rows=all_rows, encoding=encoding()))
    end_with_failed(report.crashed)
