"""What the `draw` command does: judge, draw, write; told in words where something is in the way."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from wiring.design.design import Design
from wiring.drawing.draw import Progress, draw
from wiring.drawing.engine import EngineMissingError
from wiring.drawing.export import write_sheets
from wiring.drawing.paper import PAPERS
from wiring.outputs import CannotSaveError


class DrawingRefusedError(Exception):
    """The sheets cannot be drawn or written; its text says why and what to do."""


@contextmanager
def told_progress() -> Iterator[Progress]:
    """A progress bar on the error stream while a person watches it; nothing otherwise."""
    if sys.stderr is None or not sys.stderr.isatty():
        yield lambda what, done, count: None
        return
    from rich.console import Console
    from rich.progress import Progress as Bar

    with Bar(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("drawing", total=None)
        yield lambda what, done, count: bar.update(task, description=what, completed=done, total=count)


def drawn_files(
    design: Design,
    folder: Path,
    kind: str,
    sheet: int | None,
    paper: str | None,
    progress: Progress,
    inputs: Iterable[Path] = (),
) -> tuple[list[Path], tuple[str, ...]]:
    """Write the sheets of a design as svg, png or pdf; gives the files, and the rules that failed themselves.

    `sheet` takes one sheet only; `paper` None takes A3, or tabloid under the North American rulebook.
    Raises DrawingRefusedError where a sheet does not exist, the engine is missing or the folder cannot be written.
    """
    from wiring.changes.judging import judged_with_mends

    size = PAPERS[paper or ("tabloid" if design.plan.rulebook == "na" else "A3")]
    try:
        report = judged_with_mends(design)
        sheets = draw(design, report, size, progress)
    except EngineMissingError as missing:
        raise DrawingRefusedError(f"{missing} `pip install graphviz-pure` brings it.") from None
    if sheet is not None and not 1 <= sheet <= len(sheets):
        raise DrawingRefusedError(f"There is no sheet {sheet}. The set has sheets 1 to {len(sheets)}.")
    chosen = sheets if sheet is None else sheets[sheet - 1 : sheet]
    progress("writing", 0, 1)
    try:
        return write_sheets(chosen, folder, kind, whole_set=sheet is None, inputs=inputs), report.crashed
    except CannotSaveError as problem:
        raise DrawingRefusedError(str(problem)) from None
