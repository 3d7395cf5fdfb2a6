"""The command that makes a plan from a short description: new."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import colour, destination, encoding, refuse, save, tell, width, write
from wiring.cli_progress import progress

if TYPE_CHECKING:
    from wiring.describe.dialogue import Question
    from wiring.describe.reading import Described

#: Columns that stay free for an answer.
_TYPED = 16


def new(
    machine: Annotated[Path, Argument(metavar="MACHINE", help="the description of the machine")],
    out: Annotated[Path | None, Option("--out", metavar="PLAN", help="write the plan to this file")] = None,
    ask: Annotated[bool, Option("--ask", help="ask for the description, and write it to MACHINE first")] = False,
) -> None:
    """Write a complete plan from a short description, with the reason for each decision, and judge it.

    Exit status: 0 the verdict of the plan is clear, 1 it is written and not clear, 2 the description cannot be read, or
    asks for what cannot be had.
    """
    from wiring.describe.build import Refused
    from wiring.describe.questions import questions, unsaid
    from wiring.describe.settling import composed
    from wiring.reports import exit_status
    from wiring.reports.new_report import render_new

    place = destination(out, "The plan", machine)
    if ask:
        _ask_for(machine)
    described = _read(machine)
    assert described.description is not None
    assert described.tree is not None
    try:
        with progress("composing") as tell:
            found = composed(described.description, described.tree, str(place), tell)
    except Refused as refusal:
        refuse(_refused(refusal, described))
    save(place, found.text, [machine])
    asked, left_out = (list(ask(described.description)) for ask in (questions, unsaid))
    write(render_new(found, asked, left_out, str(place), width=width(), colour=colour(), encoding=encoding()))
    raise SystemExit(exit_status(found.report))


def _ask_for(machine: Path) -> None:
    """Asks for the description and writes it; one that is there already is kept.

    Broken off, it keeps the answers in a file beside, and goes on behind them the next time.
    """
    from typer import Abort

    from wiring.describe.asking import asked
    from wiring.describe.dialogue import Answers

    if machine.exists():
        refuse(f"{machine} is there already. Name another file, or leave --ask out to use it.")
    kept = machine.with_name(f"{machine.stem}-answers.txt")
    answers = Answers(_prompt, kept.read_text("utf-8", "replace") if kept.is_file() else "")
    destination(machine, "The description", Path())
    try:
        text = asked(answers)
    except Abort:
        if answers.text:
            save(kept, answers.text, [])
            tell(f"\nYour answers are kept in {kept}: run this again to go on behind the last one.")
        tell("Aborted.")
        raise SystemExit(1) from None
    save(machine, text, [])
    kept.unlink(missing_ok=True)
    write(f"\nWritten: {machine}. Change what is wrong in it, and run this again without --ask.\n\n")


def _prompt(question: Question) -> str:
    """One question in the terminal, asked again until its answer can stand."""
    import typer

    typer.echo(f"\n{question.reason}")
    words = question.words
    more = f" ({', '.join(question.choices)})" if question.choices else ""
    more += " [empty: not known]" if question.may_be_open else ""
    words += more if len(words + more) <= width() - _TYPED else f"\n {more}"
    while True:
        answer = str(typer.prompt(words, default=question.usual or "", show_default=bool(question.usual))).strip()
        fault = question.fault(answer)
        if not fault:
            return answer
        typer.echo(f"That cannot stand: {fault}.")


def _read(machine: Path) -> Described:
    """The description; prints its faults and leaves with 2 when it cannot be read."""
    from wiring.describe.reading import read_description
    from wiring.reports import render_faults

    found = read_description(machine)
    if found.description is None:
        words = render_faults(
            found.faults,
            found.sources,
            "text",
            plan=found.source.file,
            width=width(),
            encoding=encoding(),
            noun="description",
        )
        write(words)
        raise SystemExit(2)
    return found


def _refused(refusal: object, described: Described) -> str:
    from wiring.describe.build import Refused
    from wiring.reports.new_report import render_refused

    assert isinstance(refusal, Refused)
    place = described.place(*refusal.path)
    words = render_refused(refusal.asked, refusal.cap, refusal.mend)
    return f"{place.file}, line {place.line}, column {place.column}: {words}"
