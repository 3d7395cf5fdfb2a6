"""A progress bar on the error stream for work that takes a while; nothing where no one watches."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress_bar(colour: bool) -> Iterator[Callable[[str, int, int], None] | None]:
    """Gives a function of what is being done, how far it is, and of how much; None when stderr is no terminal."""
    if sys.stderr is None or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    console = Console(stderr=True, no_color=not colour)
    columns = (TextColumn("{task.description}"), BarColumn(bar_width=24), TextColumn("{task.percentage:>3.0f} %"))
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("")

        def report(what: str, done: int, total: int) -> None:
            bar.update(task, description=what, completed=done, total=max(total, 1))

        yield report
