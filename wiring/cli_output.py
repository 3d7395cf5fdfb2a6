"""What every command shares: where its words go, how wide, in colour or not, and the plan as a design."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from errno import EBADF
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, NoReturn

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from wiring.design.design import Design
    from wiring.plan.read import Reading
    from wiring.plan.source import Source


class Opened(NamedTuple):
    """A plan that could be read: its design, the files it was read from by name, and its own name."""

    design: Design
    sources: Mapping[str, Source]
    name: str

    @property
    def inputs(self) -> tuple[Path, ...]:
        """Every file that the plan is read from: itself, its lists and its library."""
        return input_files(self.design.reading, self.sources)


def input_files(reading: Reading, sources: Mapping[str, Source]) -> tuple[Path, ...]:
    """Every file that a plan is read from; a list in a spreadsheet is none of its sources."""
    from wiring.plan.syntax import STANDARD_INPUT_NAME

    lists = (reading.node(section) for section in ("wires", "cables"))
    names = {*sources, *(node.file for node in lists if node is not None)} - {STANDARD_INPUT_NAME}
    return tuple(Path(name) for name in sorted(names))


def tell(message: str, end: str = "\n") -> None:
    """Words for the person on the error stream; whatever a name or a file puts in it is shown and never obeyed."""
    from wiring.reports.lines import clean

    if sys.stderr is not None:
        lines = [clean(line, sys.stderr.encoding or "utf-8") for line in message.split("\n")]
        if sys.stderr.isatty():
            lines = [part for line in lines for part in _folded(line)]
        shown = "\n".join(lines)
        sys.stderr.write(shown + end)
        sys.stderr.flush()


def _folded(line: str) -> list[str]:
    """A line at the width of the terminal; a pipe gets it whole, so that it can be searched."""
    from textwrap import wrap

    return wrap(line, width(), break_long_words=False, break_on_hyphens=False) or [line]


def refuse(message: str) -> NoReturn:
    """Says why a command cannot do what it was asked, and leaves with 2."""
    tell(message)
    raise SystemExit(2)


def save(out: Path, data: str | bytes, inputs: Iterable[Path]) -> None:
    """Writes a file that is none of the inputs; leaves with 2 and says why where it cannot be written."""
    from wiring import outputs

    try:
        outputs.save(out, data, inputs)
    except outputs.CannotSaveError as problem:
        refuse(str(problem))


def destination(out: Path | None, what: str, plan: Path) -> Path:
    """The file to write, asked for before the work is done; leaves with 2 where it cannot be one."""
    from wiring import outputs

    if out is None:
        refuse(f"{what} goes into a file. Say which: --out FILE.")
    try:
        outputs.check_destination(out, [plan])
    except outputs.CannotSaveError as problem:
        refuse(str(problem))
    return out


def write(text: str) -> None:
    """Print, with marks for what the stream cannot show."""
    if sys.stdout is None:
        raise OSError(EBADF, "the standard output is closed")
    sys.stdout.write(text.encode(encoding(), "replace").decode(encoding()))
    sys.stdout.flush()


def leave_stream() -> None:
    """Give up the standard output, so that nothing is written to it once more at the very end."""
    if sys.stdout is not None:
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def width() -> int:
    """Columns of the terminal, 80 where there is none."""
    from shutil import get_terminal_size

    return get_terminal_size((80, 24)).columns


def colour() -> bool:
    """Whether the stream takes colour and the person wants it."""
    from wiring.reports.page import wants_colour

    return sys.stdout is not None and wants_colour(sys.stdout, os.environ)


def encoding() -> str:
    """Encoding of the stream."""
    return (sys.stdout and sys.stdout.encoding) or "utf-8"


def opened(plan: Path, style: str) -> Opened:
    """The solved plan; prints its faults and leaves with 2 when it cannot be read."""
    from wiring.design.load import load
    from wiring.reports import render_faults

    found = load(plan)
    if found.design is None:
        words = render_faults(found.faults, found.sources, style, plan=found.name, width=width(), encoding=encoding())
        write(words)
        raise SystemExit(2)
    return Opened(found.design, found.sources, found.name)


def in_state(design: Design, state: str | None) -> Design:
    """The design with one state only; leaves with 2 when the plan has no such state."""
    from wiring.design.design import in_state

    if state is None:
        return design
    if state not in design.state_entries:
        known = ", ".join(design.state_entries)
        refuse(f"The plan has no state {state}. Expected one of: {known}.")
    return in_state(design, state)


def end_with_failed(crashed: Sequence[str]) -> None:
    """Leaves with 1 and names the rules that failed, where any did."""
    from wiring.reports.words import failed_words

    if crashed:
        tell(failed_words(crashed))
        raise SystemExit(1)


def no_room(error: OSError) -> None:
    """Say that what lies around the tool has failed: a full disk, a closed stream, a folder that may not be entered."""
    where = f"{error.filename}: " if error.filename else "The output cannot be written: "
    tell(f"{where}{(error.strerror or str(error)).lower()}.\nMake room or choose another place, and run it again.")


def own_failure(error: Exception) -> None:
    """Say that the tool has failed and not the plan; with WIRING_TRACEBACK the whole way there is printed."""
    import traceback

    if os.environ.get("WIRING_TRACEBACK"):
        traceback.print_exception(error)
    where = traceback.extract_tb(error.__traceback__)[-1]
    tell(
        f"wiring itself has failed, and nothing is judged: {type(error).__name__} in {where.name}, "
        f"{Path(where.filename).name}:{where.lineno}.\n"
        "Please report it with the plan; WIRING_TRACEBACK=1 prints the whole way there."
    )
