"""The command that says what changed between two plans, for one who stands before the built cabinet."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from wiring.cli_arguments import Argument, Option
from wiring.cli_changes import refused_words
from wiring.cli_output import colour, destination, encoding, input_files, refuse, save, width, write

if TYPE_CHECKING:
    from wiring.changes.outcome import Outcome
    from wiring.documents.plan_comparison import PlanComparison


class CompareFormat(StrEnum):
    """How `compare` prints."""

    TEXT = "text"
    JSON = "json"
    HTML = "html"


def compare(
    old: Annotated[str, Argument(metavar="OLD", help="a plan file, or REVISION:PATH of a git repository")],
    new: Annotated[str, Argument(metavar="NEW", help="the same; a revision alone takes the file of the other")],
    format: Annotated[CompareFormat, Option(help="how to print it")] = CompareFormat.TEXT,
    out: Annotated[Path | None, Option(metavar="FILE", help="write it to this file")] = None,
) -> None:
    """Print what to take off, put on, move, replace and relabel, what to print again, and what the rules say now.

    Exit status: 0 the verdict is no worse, 1 it is worse, 2 a plan cannot be read.
    """
    from wiring.changes.outcome import Unreadable
    from wiring.changes.revisions import opened_beside
    from wiring.documents.plan_comparison import compare_plans
    from wiring.plan.fault import Refusal
    from wiring.reports import render_faults

    if format is CompareFormat.HTML and out is None:
        refuse("The page goes into a file. Say which: --out FILE.")
    if out is not None:
        out = destination(out, "The comparison", Path(old))
    try:
        with opened_beside(old, new) as before, opened_beside(new, old) as after:
            told = compare_plans(before, after)
            inputs = (*_inputs(before), *_inputs(after))
    except Unreadable as error:
        style = "json" if format is CompareFormat.JSON else "text"
        write(render_faults(error.faults, error.sources, style, plan=error.name, width=width(), encoding=encoding()))
        raise SystemExit(2) from None
    except Refusal as error:
        refuse(refused_words(error))
    text = _printed(told, format, out is not None)
    if out is not None:
        save(out, text, inputs)
    else:
        write(text)
    raise SystemExit(int(told.is_worse))


def _inputs(outcome: Outcome) -> tuple[Path, ...]:
    return input_files(outcome.design.reading, outcome.sources)


def _printed(told: PlanComparison, format: CompareFormat, to_file: bool) -> str:
    from wiring.reports.compare_report import comparison_data, render_comparison
    from wiring.reports.json_report import to_json

    spelling = "utf-8" if to_file else encoding()
    match format:
        case CompareFormat.JSON:
            return to_json(comparison_data(told), spelling)
        case CompareFormat.HTML:
            from wiring.reports.compare_page import render_comparison_page

            return render_comparison_page(told)
        case CompareFormat.TEXT:
            return render_comparison(told, width=width(), colour=not to_file and colour(), encoding=spelling)
