"""The commands that change a plan or ask what it still bears: add-motor, change, suggest, room."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from wiring.cli_output import colour, encoding, width, write

if TYPE_CHECKING:
    from wiring.changes.addition import Change
    from wiring.changes.outcome import Outcome
    from wiring.plan.fault import Refusal


class Form(StrEnum):
    """How these commands print."""

    TEXT = "text"
    JSON = "json"


PlanPath = Annotated[Path, typer.Argument(metavar="PLAN", help="the plan file of the machine")]
FormOption = Annotated[Form, typer.Option("--format", help="how to print")]
OutOption = Annotated[Path | None, typer.Option("--out", help="write the changed plan to this file")]


def _refused(error: Refusal) -> str:
    """A refusal for people: what is wrong, what was expected, how to mend it."""
    near = f"nearest known: {', '.join(error.near)}" if error.near else ""
    expected = f"expected {error.expected}" if error.expected else ""
    pieces = [error.problem, expected, near, error.mend]
    return ". ".join(map(_sentence, filter(None, pieces))) + "."


def _sentence(text: str) -> str:
    """The text with a capital where it begins with a word, and as it is where with a path or a name."""
    return text[0].upper() + text[1:] if text.split()[0].isalpha() else text


@contextmanager
def _faults(style: Form) -> Iterator[None]:
    """Whatever cannot be read is told, and ends with 2."""
    from wiring.changes.outcome import Unreadable
    from wiring.plan.fault import Refusal
    from wiring.reports import render_faults

    try:
        yield
    except Unreadable as error:
        told = render_faults(
            error.faults, error.sources, style.value, plan=error.name, width=width(), encoding=encoding()
        )
        write(told)
        raise typer.Exit(2) from None
    except Refusal as error:
        typer.echo(_refused(error), err=True)
        raise typer.Exit(2) from None


@contextmanager
def _progress(what: str) -> Iterator[Callable[[str], None]]:
    """Tells a terminal what is being tried, on the error stream, and clears it away at the end."""
    shown = sys.stderr.isatty()

    def tell(words: str) -> None:
        if shown:
            sys.stderr.write(f"\r\x1b[2K{what}: {words[:60]}")
            sys.stderr.flush()

    try:
        yield tell
    finally:
        if shown:
            sys.stderr.write("\r\x1b[2K")
            sys.stderr.flush()


def _printed(data: Callable[[], dict[str, Any]], text: Callable[[int, bool, str], str], style: Form) -> None:
    from wiring.reports.json_report import to_json

    if style is Form.JSON:
        write(to_json(data(), encoding()))
    else:
        write(text(width(), colour(), encoding()))


def _print_change(told: Change, out: Path | None, style: Form) -> None:
    from wiring.findings import Signal
    from wiring.reports.change_report import change_data, render_change

    where = _saved(told.outcome, out)
    _printed(
        lambda: change_data(told, where),
        lambda width, colour, encoding: render_change(told, width=width, colour=colour, out=where, encoding=encoding),
        style,
    )
    raise typer.Exit(int(any(finding.signal.rank <= Signal.WARNING.rank for finding in told.comparison.new)))


def _saved(outcome: Outcome, out: Path | None) -> str:
    """Writes a changed plan and the lists that changed, read once more where they will stand; gives their paths.

    Nothing is written where the plan cannot be read there.
    """
    from wiring.changes.outcome import written_at

    if out is None:
        return ""
    text, lists = written_at(outcome, out)
    for path, data in lists.items():
        _save(path, data)
    _save(out, text)
    return ", ".join(map(str, (out, *lists)))


def _save(path: Path, text: str | bytes) -> None:
    from wiring.documents.files import CannotSaveError, save

    try:
        save(path, text)
    except CannotSaveError as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(2) from None


def add_motor(
    plan: PlanPath,
    like: Annotated[str, typer.Option("--like", help="the motor, or its drive, that the new one is like")],
    on: Annotated[str, typer.Option("--on", help="the supply that feeds it, where it is another one")] = "",
    motor: Annotated[str, typer.Option("--motor", help="the library part that the motor is")] = "",
    count: Annotated[int, typer.Option("--count", min=1, max=64, help="how many")] = 1,
    out: OutOption = None,
    style: FormOption = Form.TEXT,
) -> None:
    """Add an axis like one that is there, and print what that does to every supply, feed, fuse and to the cabinet.

    Exit status: 0 nothing new at or above WARNING, 1 new findings, 2 the plan or what was asked for cannot be read.
    """
    from wiring.changes.addition import add_motor as added

    with _faults(style):
        with _progress("trying") as tell:
            told = added(plan, like, on=on, motor=motor, count=count, progress=tell)
        _print_change(told, out, style)


def change(
    plan: PlanPath,
    changes: Annotated[
        list[str] | None, typer.Argument(metavar="CHANGE", help='for example "M1.work.torque=2.5 N·m"')
    ] = None,
    source: Annotated[Path | None, typer.Option("--from", help="a YAML list of changes")] = None,
    out: OutOption = None,
    style: FormOption = Form.TEXT,
) -> None:
    """Change values, parts or wires of a plan, and print what that does.

    NAME.key=value sets a value, list+=item adds to a list, NAME.key= takes a value away. NAME is a part, wire, cable,
    wire type, route, state, stop or section. Exit status as for add-motor.
    """
    from wiring.changes.addition import change_plan

    with _faults(style):
        with _progress("trying") as tell:
            told = change_plan(plan, changes or [], source, progress=tell)
        _print_change(told, out, style)


def _share(text: str) -> float:
    from wiring.plan.fault import Refusal
    from wiring.quantities import QuantityError, parse

    try:
        value = parse(text, "fraction").value
    except QuantityError as error:
        raise Refusal(str(error), "a share such as 20 %", complete=True) from None
    if not 0.0 <= value < 1.0:
        raise Refusal(f"{text} cannot stay free", "a share of 0 % or more and below 100 %", complete=True)
    return value


def suggest(
    plan: PlanPath,
    headroom: Annotated[str, typer.Option("--headroom", help="what stays free of supplies, fuses, breakers")] = "20 %",
    write: Annotated[
        Path | None, typer.Option("--write", help="write a copy with all suggestions to this file")
    ] = None,
    style: FormOption = Form.TEXT,
) -> None:
    """Print the smallest standard supplies, fuses, breakers, transformers, conductors and fan that pass.

    Exit status: 0 the plan with all suggestions is clear, 1 something stands in it, 2 the plan cannot be read.
    """
    from wiring.changes.outcome import open_plan
    from wiring.changes.suggest import suggest as suggested
    from wiring.reports.size_report import render_suggestions, suggestions_data

    with _faults(style):
        share = _share(headroom)
        base = open_plan(plan)
        with _progress("sizing") as tell:
            found = suggested(base, share, tell)
        out = _saved(found.result, write)
        _printed(
            lambda: suggestions_data(found, out),
            lambda width, colour, encoding: render_suggestions(
                found, width=width, colour=colour, out=out, encoding=encoding
            ),
            style,
        )
        raise typer.Exit(int(not found.clear))


def room(
    plan: PlanPath,
    plot: Annotated[Path | None, typer.Option("--plot", help="write a picture of the bars to this SVG file")] = None,
    style: FormOption = Form.TEXT,
) -> None:
    """Print how many more watts every supply and feed bears, and how many more axes, before the first limit."""
    from wiring.changes.outcome import open_plan
    from wiring.changes.room import room as measured
    from wiring.reports.size_report import render_rooms, rooms_data

    with _faults(style):
        _check_picture(plot)
        base = open_plan(plan)
        with _progress("loading") as tell:
            found = measured(base, tell)
        if plot is not None:
            from wiring.documents.room_plot import room_plot

            _save(plot, room_plot(found))
        drawn = str(plot) if plot else ""
        _printed(
            lambda: rooms_data(found, drawn),
            lambda width, colour, encoding: render_rooms(
                found, width=width, colour=colour, plot=drawn, encoding=encoding
            ),
            style,
        )


def _check_picture(path: Path | None) -> None:
    from wiring.plan.fault import Refusal

    if path is not None and path.suffix.lower() != ".svg":
        raise Refusal(f"{path} is no name for the picture", "a file that ends in .svg", complete=True)


def register(app: typer.Typer) -> None:
    """Puts the commands on the command line."""
    app.command("add-motor")(add_motor)
    app.command()(change)
    app.command()(suggest)
    app.command()(room)
