"""The commands that change a plan or ask what it still bears: add-motor, change, suggest, room."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from enum import StrEnum
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import colour, encoding, input_files, refuse, save, width, write
from wiring.cli_progress import progress

if TYPE_CHECKING:
    from wiring.changes.addition import Change
    from wiring.changes.outcome import Outcome
    from wiring.plan.fault import Refusal


class Form(StrEnum):
    """How these commands print."""

    TEXT = "text"
    JSON = "json"


PlanPath = Annotated[Path, Argument(metavar="PLAN", help="the plan file of the machine")]
FormOption = Annotated[Form, Option("--format", help="how to print")]
OutOption = Annotated[Path | None, Option("--out", help="write the changed plan to this file")]


InPlaceOption = Annotated[
    bool, Option("--in-place", help="change the plan itself; the old files stay beside it as .old")
]


def one_place(out: Path | None, in_place: bool) -> None:
    """Leaves with 2 where a plan is to be written over and written elsewhere."""
    if out is not None and in_place:
        refuse("--in-place and another file cannot go together. Choose one of the two.")


def refused_words(error: Refusal) -> str:
    """A refusal for people: what is wrong, what was expected, how to mend it."""
    near = f"nearest known: {', '.join(error.near)}" if error.near else ""
    expected = f"expected {error.expected}" if error.expected else ""
    pieces = [error.problem, expected, near, error.mend]
    return ". ".join(map(_sentence, filter(None, pieces))) + "."


def _sentence(text: str) -> str:
    """The text with a capital where it begins with a word, and as it is where with a path or a name."""
    return text[0].upper() + text[1:] if text.split()[0].isalpha() else text


@contextmanager
def faults_told(style: Form) -> Iterator[None]:
    """Whatever cannot be read is told, and ends with 2."""
    from wiring.changes.outcome import Unreadable
    from wiring.plan.fault import Refusal
    from wiring.reports import render_faults

    try:
        yield
    except Unreadable as error:
        told = render_faults(
            error.faults,
            error.sources,
            style.value,
            plan=error.name,
            width=width(),
            encoding=encoding(),
            noun=error.noun,
        )
        write(told)
        raise SystemExit(2) from None
    except Refusal as error:
        refuse(refused_words(error))


def printed(data: Callable[[], dict[str, Any]], text: Callable[[int, bool, str], str], style: Form) -> None:
    """Prints what was found, as JSON or for people."""
    from wiring.reports.json_report import to_json

    if style is Form.JSON:
        write(to_json(data(), encoding()))
    else:
        write(text(width(), colour(), encoding()))


def _print_change(told: Change, out: Path | None, in_place: bool, style: Form, reads: Sequence[Path] = ()) -> None:
    from wiring.findings import Signal
    from wiring.reports.change_report import change_data, render_change

    where = saved(told.outcome, out, in_place, reads)
    printed(
        lambda: change_data(told, where),
        lambda width, colour, encoding: render_change(told, width=width, colour=colour, out=where, encoding=encoding),
        style,
    )
    raise SystemExit(int(any(finding.signal.rank <= Signal.WARNING.rank for finding in told.comparison.new)))


def saved(outcome: Outcome, out: Path | None, in_place: bool, reads: Sequence[Path] = ()) -> str:
    """Writes a changed plan and the lists that changed, read once more where they will stand; gives their paths.

    All of them are written or none. In place of the plan the old files are kept beside the new ones.
    """
    from wiring.changes.outcome import written_at
    from wiring.outputs import CannotSaveError, check_destination, is_same_file, save_all
    from wiring.plan.syntax import STANDARD_INPUT_NAME

    if out is None and not in_place:
        return ""
    plan = Path(outcome.file)
    inputs = (*input_files(outcome.design.reading, outcome.sources), *reads)
    if outcome.file == STANDARD_INPUT_NAME and (out is None or in_place):
        refuse("A plan from the standard input has no file of its own. Name one: --out FILE.")
    if out is not None and is_same_file(out, plan):
        refuse(f"{out} is the plan itself. --in-place changes it and keeps the old one beside it.")
    text, lists = written_at(outcome, out or plan)
    files: dict[Path, str | bytes] = {**lists, (out or plan): text}
    try:
        if out is None:
            files = {path: data for path, data in files.items() if path.read_bytes() != _bytes(data)}
            for path in files:
                check_destination(path)
            save_all({_kept(path): path.read_bytes() for path in files} | files)
        else:
            for path in lists:
                if path.exists():
                    refuse(f"{path} is there already. Move it away, or choose another name for the plan.")
            save_all(files, inputs)
    except (CannotSaveError, OSError) as problem:
        refuse(str(problem))
    return ", ".join(map(str, (out or plan, *lists)))


def _bytes(data: str | bytes) -> bytes:
    return data.encode("utf-8") if isinstance(data, str) else data


def _kept(path: Path) -> Path:
    """The first free name beside a file under which the old one is kept."""
    names = (path.with_name(f"{path.name}.old{number or ''}") for number in count())
    return next(name for name in names if not os.path.lexists(name))


def add_motor(
    plan: PlanPath,
    like: Annotated[str, Option("--like", help="the motor, or its drive, that the new one is like")],
    on: Annotated[str, Option("--on", help="the supply that feeds it, where it is another one")] = "",
    motor: Annotated[str, Option("--motor", help="the library part that the motor is")] = "",
    count: Annotated[int, Option("--count", min=1, max=64, help="how many")] = 1,
    out: OutOption = None,
    in_place: InPlaceOption = False,
    style: FormOption = Form.TEXT,
) -> None:
    """Add an axis like one that is there, and print what that does to every supply, feed, fuse and to the cabinet.

    Exit status: 0 nothing new at or above WARNING, 1 new findings, 2 the plan or what was asked for cannot be read.
    """
    from wiring.changes.addition import add_motor as added

    one_place(out, in_place)
    with faults_told(style):
        with progress("trying") as tell:
            told = added(plan, like, on=on, motor=motor, count=count, progress=tell)
        _print_change(told, out, in_place, style)


def change(
    plan: PlanPath,
    changes: Annotated[
        list[str] | None, Argument(metavar="CHANGE", help='for example "M1.work.torque=2.5 N·m"')
    ] = None,
    source: Annotated[Path | None, Option("--from", help="a YAML list of changes")] = None,
    mend: Annotated[
        tuple[str, str] | None, Option("--mend", metavar="RULE PART", help="apply the first mend of a finding")
    ] = None,
    out: OutOption = None,
    in_place: InPlaceOption = False,
    style: FormOption = Form.TEXT,
) -> None:
    """Change values, parts or wires of a plan, and print what that does.

    NAME.key=value sets a value, list+=item adds to a list, NAME.key= takes a value away. NAME is a part, wire, cable,
    wire type, route, state, stop or section. --mend applies the first mend of a finding that `check` prints as a
    change. Exit status as for add-motor.
    """
    from wiring.changes.addition import change_plan

    one_place(out, in_place)
    with faults_told(style):
        with progress("trying") as tell:
            told = change_plan(plan, changes or [], source, mend, progress=tell)
        _print_change(told, out, in_place, style, [source] if source else [])


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
    names: Annotated[
        list[str] | None, Argument(metavar="NAME", help="what to size; all that has steps without a name")
    ] = None,
    headroom: Annotated[str, Option("--headroom", help="what stays free of supplies, fuses, breakers")] = "20 %",
    write: Annotated[Path | None, Option("--write", help="write a copy with all suggestions to this file")] = None,
    in_place: InPlaceOption = False,
    style: FormOption = Form.TEXT,
) -> None:
    """Print the smallest standard supplies, fuses, breakers, transformers, conductors and fan that pass.

    What is too small grows, what is too large shrinks. With names, such as G1, a wire or a wire type, only these are
    sized anew, and what they ask of others.

    Exit status: 0 the plan with all suggestions is clear, 1 something stands in it, 2 the plan cannot be read.
    """
    from wiring.changes.outcome import open_plan
    from wiring.changes.suggest import suggest as suggested
    from wiring.reports.size_report import render_suggestions, suggestions_data

    one_place(write, in_place)
    with faults_told(style):
        share = _share(headroom)
        base = open_plan(plan)
        with progress("sizing") as tell:
            found = suggested(base, share, names or (), tell)
        out = saved(found.result, write, in_place)
        printed(
            lambda: suggestions_data(found, out),
            lambda width, colour, encoding: render_suggestions(
                found, width=width, colour=colour, out=out, encoding=encoding
            ),
            style,
        )
        raise SystemExit(int(not found.clear))


def room(
    plan: PlanPath,
    plot: Annotated[Path | None, Option("--plot", help="write a picture of the bars to this SVG file")] = None,
    style: FormOption = Form.TEXT,
) -> None:
    """Print how many more watts every supply and feed bears, and how many more axes, before the first limit."""
    from wiring.changes.outcome import open_plan
    from wiring.changes.room import room as measured
    from wiring.reports.size_report import render_rooms, rooms_data

    with faults_told(style):
        _check_picture(plot)
        base = open_plan(plan)
        with progress("loading") as tell:
            found = measured(base, tell)
        if plot is not None:
            from wiring.documents.room_plot import room_plot

            save(plot, room_plot(found), input_files(base.design.reading, base.sources))
        drawn = str(plot) if plot else ""
        printed(
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
