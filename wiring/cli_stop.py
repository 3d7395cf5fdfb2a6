"""The command that proves the stops: stop."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import Opened, colour, encoding, opened, refuse, save, tell, width, write

if TYPE_CHECKING:
    from wiring.design.stop.account import Account


class StopFormat(StrEnum):
    """How `stop` prints."""

    TEXT = "text"
    JSON = "json"


def stop(
    plan: Annotated[Path, Argument(metavar="PLAN", help="the plan file of the machine")],
    stop: Annotated[str | None, Option(help="this stop of the plan only")] = None,
    fault: Annotated[str | None, Option(help="this fault only, by the id that the proof prints")] = None,
    format: Annotated[StopFormat, Option(help="how to print the proof")] = StopFormat.TEXT,
    draw: Annotated[
        Path | None, Option(metavar="FILE.svg", help="with --fault: the sheets with its circuit drawn thick")
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
    raise SystemExit(stop_exit(told))


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
