"""What every command shares: where its words go, how wide, in colour or not, and the plan as a design."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from wiring.design.design import Design
    from wiring.plan.source import Source


@dataclass(frozen=True)
class Opened:
    """A plan that could be read: its design, the files it was read from by name, and its own name."""

    design: Design
    sources: Mapping[str, Source]
    name: str


def write(text: str) -> None:
    """Print, with marks for what the stream cannot show."""
    sys.stdout.write(text.encode(encoding(), "replace").decode(encoding()))
    sys.stdout.flush()


def width() -> int:
    """Columns of the terminal, 80 where there is none."""
    from shutil import get_terminal_size

    return get_terminal_size((80, 24)).columns


def colour() -> bool:
    """Whether the stream takes colour and the person wants it."""
    from wiring.reports.page import wants_colour

    return wants_colour(sys.stdout, os.environ)


def encoding() -> str:
    """Encoding of the stream."""
    return sys.stdout.encoding or "utf-8"


def opened(plan: Path, style: str) -> Opened:
    """The solved plan; prints its faults and leaves with 2 when it cannot be read."""
    from wiring.design.load import load
    from wiring.reports import render_faults

    found = load(plan)
    if found.design is None:
        words = render_faults(found.faults, found.sources, style, plan=found.name, width=width(), encoding=encoding())
        write(words)
        raise typer.Exit(2)
    return Opened(found.design, found.sources, found.name)


def in_state(design: Design, state: str | None) -> Design:
    """The design with one state only; leaves with 2 when the plan has no such state."""
    from wiring.design.design import in_state

    if state is None:
        return design
    if state not in design.state_entries:
        known = ", ".join(design.state_entries)
        typer.echo(f"The plan has no state {state}. Expected one of: {known}.", err=True)
        raise typer.Exit(2)
    return in_state(design, state)


def end_with_failed(crashed: Sequence[str]) -> None:
    """Leaves with 1 and names the rules that failed, where any did."""
    from wiring.reports.words import failed_words

    if crashed:
        typer.echo(failed_words(crashed), err=True)
        raise typer.Exit(1)


def own_failure(error: Exception) -> None:
    """Say that the tool has failed and not the plan; with WIRING_TRACEBACK the whole way there is printed."""
    import traceback

    if os.environ.get("WIRING_TRACEBACK"):
        traceback.print_exception(error)
    where = traceback.extract_tb(error.__traceback__)[-1]
    sys.stderr.write(
        f"wiring itself has failed, and nothing is judged: {type(error).__name__} in {where.name}, "
        f"{Path(where.filename).name}:{where.lineno}.\n"
        "Please report it with the plan; WIRING_TRACEBACK=1 prints the whole way there.\n"
    )
