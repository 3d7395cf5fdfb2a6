"""`python -m wiring` is the command `wiring`."""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress


def main() -> None:
    """The command, with seldom a search for cycles: it is short, and looking for them costs a tenth of `check`. At its
    end nothing is taken down piece by piece, which costs half as much as Python takes to start."""
    gc.set_threshold(500_000, 50, 50)
    from wiring.cli_start import main as command

    status = 0
    try:
        command()
    except SystemExit as end:
        if isinstance(end.code, str):
            raise
        status = end.code or 0
    for stream in (sys.stdout, sys.stderr):
        with suppress(AttributeError, OSError, ValueError):
            stream.flush()
    os._exit(status)


if __name__ == "__main__":
    main()
