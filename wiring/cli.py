"""The command line: thin commands over the layers, one file of arguments and exit states."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from wiring import (
    cli_cabinet,
    cli_changes,
    cli_compare,
    cli_documents,
    cli_library,
    cli_new,
    cli_power_up,
    cli_rehearse,
    cli_rules,
)
from wiring.cli_output import (
    Opened,
    colour,
    destination,
    encoding,
    end_with_failed,
    in_state,
    leave_stream,
    no_room,
    opened,
    own_failure,
    refuse,
    save,
    tell,
    width,
    write,
)
from wiring.findings import Signal
from wiring.outputs import end_on_signals

if TYPE_CHECKING:
    from wiring.design.stop_account import Account

app = typer.Typer(
    name="wiring",
    help="Checks, draws and proves the wiring of a machine from one plan file, before power-up.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

#: Exit status when the tool itself fails; 1 and 2 speak of the plan.
_FAILED = 3

PlanPath = Annotated[Path, typer.Argument(metavar="PLAN", help="the plan file of the machine")]


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


@app.command()
def check(
    plan: PlanPath,
    format: Annotated[Format, typer.Option(help="how to print the findings")] = Format.TEXT,
    state: Annotated[str | None, typer.Option(help="judge this state of the plan only")] = None,
    fail_on: Annotated[
        FailOn | None, typer.Option(help="mildest finding that makes the exit status 1, in place of the verdict")
    ] = None,
    all_: Annotated[bool, typer.Option("--all", help="everything in full, in place of one screen")] = False,
    out: Annotated[Path | None, typer.Option(metavar="FILE", help="write it to this file")] = None,
) -> None:
    """Solve a plan and print the verdict, its findings, power budget, and what was not judged.

    Exit status: 0 the verdict is clear (or no finding at or above --fail-on), 1 it is not or a rule failed itself, 2
    the plan cannot be read.
    """
    from wiring.changes.tried_mends import judged_with_mends
    from wiring.reports import exit_status, render
    from wiring.rules.run import rule_texts

    signal = Signal(fail_on.value.upper()) if fail_on else None
    if format is Format.HTML:
        cli_documents.page_of(plan, state, signal, out)
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
        everything=all_,
        rules=rule_texts(report),
        encoding="utf-8" if out else encoding(),
    )
    if out:
        save(out, text, found.inputs)
    else:
        write(text)
    raise typer.Exit(exit_status(report, signal))


@app.command()
def budget(
    plan: PlanPath,
    state: Annotated[str | None, typer.Option(help="this state of the plan only")] = None,
    all_rows: Annotated[bool, typer.Option("--all", help="every conductor, not only the most loaded")] = False,
) -> None:
    """Print the supply tables: current, peak, what is available, headroom; cabinet heat; conductors."""
    from wiring.reports.budget import render_budget
    from wiring.rules.run import judge

    found = opened(plan, "text")
    report = judge(in_state(found.design, state))
    write(render_budget(report, width=width(), colour=colour(), all_rows=all_rows, encoding=encoding()))
    end_with_failed(report.crashed)


class StopFormat(StrEnum):
    """How `stop` prints."""

    TEXT = "text"
    JSON = "json"


@app.command()
def stop(
    plan: PlanPath,
    stop: Annotated[str | None, typer.Option(help="this stop of the plan only")] = None,
    fault: Annotated[str | None, typer.Option(help="this fault only, by the id that the proof prints")] = None,
    format: Annotated[StopFormat, typer.Option(help="how to print the proof")] = StopFormat.TEXT,
    draw: Annotated[
        Path | None, typer.Option(metavar="FILE.svg", help="with --fault: the sheets with its circuit drawn thick")
    ] = None,
) -> None:
    """Prove every stop: what it removes, every single fault, hidden faults and the next one, told step by step.

    Exit status: 0 proved, 1 a stop fails or a fault defeats it or is undecided, 2 the plan cannot be read.
    """
    from time import process_time

    from wiring.control.faults import single_faults
    from wiring.design.stop_account import account
    from wiring.design.stop_proof import full_proof
    from wiring.reports.progress import progress_bar
    from wiring.reports.stop_json import render_stop_json
    from wiring.reports.stop_report import render_stop, stop_exit, time_told

    found = opened(plan, "text")
    _known(stop, list(found.design.plan.stops), "stop")
    _known(fault, [one.id for one in single_faults(found.design.circuit)], "fault")
    if draw is not None and fault is None:
        refuse("--draw draws one story: name it with --fault ID.")
    begin = process_time()
    with progress_bar(colour()) as progress:
        told = account(
            found.design.stopping,
            full_proof(found.design.stopping, stop, fault, progress),
            everything=fault is not None,
        )
    if format is StopFormat.JSON:
        write(render_stop_json(told, found.name))
    else:
        write(render_stop(told, found.name, width=width(), colour=colour(), encoding=encoding()))
    if draw is not None and fault is not None:
        _draw_story(found, told, fault, draw)
    typer.echo(time_told(told, process_time() - begin), err=True)
    raise typer.Exit(stop_exit(told))


def _draw_story(found: Opened, told: Account, fault: str, path: Path) -> None:
    """The sheets with the circuit of one fault thick, in one file."""
    from wiring.drawing.command import told_progress
    from wiring.drawing.engine import EngineMissingError
    from wiring.drawing.story_sheets import story_drawing

    circuit = frozenset(name for stop in told.stops for name in stop.circuit_of(fault))
    try:
        with told_progress() as progress:
            text = story_drawing(found.design, circuit, f"{found.name}: {fault}", progress)
    except EngineMissingError as problem:
        refuse(str(problem))
    if not text:
        refuse(f"No sheet shows a conductor of {fault}.")
    save(path, text, found.inputs)


def _known(name: str | None, names: list[str], what: str) -> None:
    """Leaves with 2 when a name is given that the plan does not have."""
    from wiring.plan.fault import nearest

    if name is None or name in names:
        return
    near = nearest(name, names)
    known = f"Nearest known: {', '.join(near)}." if near else f"Known: {', '.join(names[:12]) or 'none'}."
    refuse(f"The plan has no {what} {name}. {known}")


class SheetFormat(StrEnum):
    """What `draw` writes."""

    SVG = "svg"
    PDF = "pdf"
    PNG = "png"


class PaperName(StrEnum):
    """The paper of the sheets."""

    A3 = "A3"
    A4 = "A4"
    LETTER = "letter"
    TABLOID = "tabloid"


@app.command()
def draw(
    plan: PlanPath,
    out: Annotated[Path, typer.Option(metavar="DIR", help="the folder that the sheets are written to")],
    format: Annotated[SheetFormat, typer.Option(help="svg and png: a file a sheet; pdf: one file")] = SheetFormat.SVG,
    sheet: Annotated[int | None, typer.Option(metavar="N", help="this sheet only")] = None,
    paper: Annotated[PaperName | None, typer.Option(help="A3, or tabloid under the na rulebook, by default")] = None,
) -> None:
    """Draw the sheets: cover, power overview, cabinet, circuits by function, findings in full."""
    from wiring.drawing.command import DrawingRefusedError, drawn_files, told_progress

    found = opened(plan, "text")
    try:
        with told_progress() as progress:
            size = paper.value if paper else None
            files, failed = drawn_files(found.design, out, format.value, sheet, size, progress, found.inputs)
    except DrawingRefusedError as refusal:
        refuse(str(refusal))
    tell(f"Wrote {len(files)} file{'s' if len(files) != 1 else ''} to {out}.")
    end_with_failed(failed)


cli_cabinet.register(app)
cli_changes.register(app)
cli_compare.register(app)
cli_documents.register(app)
cli_library.register(app)
cli_new.register(app)
cli_power_up.register(app)
cli_rules.register(app)
cli_rehearse.register(app)


def _is_own(error: OSError) -> bool:
    """Whether a file of the tool itself is missing or cannot be read."""
    return str(error.filename or "").startswith(str(Path(__file__).parent))


def main() -> None:
    """Run the command line; a pipe that closes early ends it quietly, a failure of the tool itself in two lines."""
    import gc

    end_on_signals()
    gc.set_threshold(100_000, 50, 50)  # a command is short: few cycles, and looking for them costs a tenth of `check`
    try:
        app()
    except BrokenPipeError:
        leave_stream()
        raise SystemExit(1) from None
    except OSError as error:
        if _is_own(error):
            own_failure(error)
            raise SystemExit(_FAILED) from None
        leave_stream()
        no_room(error)
        raise SystemExit(2) from None
    except Exception as error:
        own_failure(error)
        raise SystemExit(_FAILED) from None
