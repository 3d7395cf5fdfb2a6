"""The command line: thin commands over the layers, one file of arguments and exit states."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from copy import copy
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from wiring import (
    cli_cabinet,
    cli_changes,
    cli_check,
    cli_compare,
    cli_documents,
    cli_examples,
    cli_library,
    cli_new,
    cli_power_up,
    cli_rehearse,
    cli_rules,
)
from wiring.cli_examples import name_of
from wiring.cli_output import (
    Opened,
    colour,
    encoding,
    end_with_failed,
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
from wiring.cli_values import PlainCommand, PlainGroup
from wiring.outputs import end_on_signals

if TYPE_CHECKING:
    from typer.models import CommandInfo

    from wiring.design.stop.account import Account

app = typer.Typer(
    cls=PlainGroup,
    name="wiring",
    help="Checks, draws and proves the wiring of a machine from one plan file, before power-up.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import PackageNotFoundError, version

        try:
            write(f"wiring {version('wiring')}\n")
        except PackageNotFoundError:
            write("wiring, not installed\n")
        raise typer.Exit


@app.callback()
def _around(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="print the version and end")
    ] = False,
) -> None:
    """Checks, draws and proves the wiring of a machine from one plan file, before power-up."""


#: Exit status when the tool itself fails; 1 and 2 speak of the plan.
_FAILED = 3

PlanPath = Annotated[Path, typer.Argument(metavar="PLAN", help="the plan file of the machine")]


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
    from wiring.design.stop.account import account
    from wiring.design.stop.proof import full_proof
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
    tell(time_told(told, process_time() - begin))
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


#: So many names are listed to choose from.
_NAMED = 12


def _known(name: str | None, names: list[str], what: str) -> None:
    """Leaves with 2 when a name is given that the plan does not have."""
    from wiring.plan.fault import nearest

    if name is None or name in names:
        return
    near = nearest(name, names)
    rest = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    known = f"Nearest known: {', '.join(near)}." if near else f"Known: {', '.join(names[:_NAMED]) or 'none'}{rest}."
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
cli_check.register(app)
cli_compare.register(app)
cli_documents.register(app)
cli_library.register(app)
cli_new.register(app)
cli_power_up.register(app)
cli_rules.register(app)
cli_rehearse.register(app)
cli_examples.add_examples(app)
_COMMANDS = app.registered_commands
for _command in _COMMANDS:
    _command.cls = PlainCommand


def _is_own(error: OSError) -> bool:
    """Whether a file of the tool itself is missing or cannot be read."""
    return str(error.filename or "").startswith(str(Path(__file__).parent))


def _asked(arguments: Sequence[str]) -> typer.Typer:
    """The command that is called alone, or for the list of all only their first words.

    The parameters of a command take longer to read than anything else of a start.
    """
    called = [one for one in _COMMANDS if arguments and name_of(one) == arguments[0]]
    if not called and list(arguments) in ([], ["--help"], ["--version"]):
        called = [_words_of(one) for one in _COMMANDS]
    if not called or any(name.endswith("_COMPLETE") for name in os.environ):
        return app
    alone = copy(app)
    alone.registered_commands = called
    return alone


def _words_of(command: CommandInfo) -> CommandInfo:
    """Something that says the same of itself and takes nothing."""

    def words() -> None: ...

    words.__doc__ = command.callback.__doc__
    said = copy(command)
    said.name, said.callback = name_of(command), words
    return said


def main() -> None:
    """Run the command line; a pipe that closes early ends it quietly, a failure of the tool itself in two lines."""
    import gc

    end_on_signals()
    try:
        _asked(sys.argv[1:])()
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
    finally:
        gc.freeze()  # else Python looks for cycles in all of it once more before it ends
