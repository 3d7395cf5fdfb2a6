"""What a command tells a terminal while it works."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from wiring.wording import visible


@contextmanager
def progress(what: str) -> Iterator[Callable[[str], None]]:
    """Tells a terminal what is being tried, on the error stream, and clears it away at the end."""
    shown = sys.stderr is not None and sys.stderr.isatty()

    def tell(words: str) -> None:
        if shown:
            sys.stderr.write(f"\r\x1b[2K{what}: {visible(words)[:60]}")
            sys.stderr.flush()

    try:
        yield tell
    finally:
        if shown:
            sys.stderr.write("\r\x1b[2K")
            sys.stderr.flush()
