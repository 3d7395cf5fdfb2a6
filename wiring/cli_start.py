"""Where a command starts: plain words are taken as they are; typer reads all others, and says what is wrong."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from wiring.cli_arguments import taken
from wiring.cli_commands import command_of
from wiring.cli_output import leave_stream, no_room, own_failure
from wiring.outputs import end_on_signals

#: Exit status when the tool itself fails; 1 and 2 speak of the plan.
_FAILED = 3


def _is_own(error: OSError) -> bool:
    """Whether a file of the tool itself is missing or cannot be read."""
    return str(error.filename or "").startswith(str(Path(__file__).parent))


def _asked(words: Sequence[str]) -> Callable[[], object]:
    """The command with its arguments, or typer where they are not plain; it alone expands patterns on Windows."""
    completes = any(name.endswith("_COMPLETE") for name in os.environ)
    command = command_of(words[0]) if words and not completes and sys.platform != "win32" else None
    arguments = taken(command, words[1:]) if command else None
    if command and arguments is not None:
        return partial(command, **arguments)
    from wiring import cli

    return cli.app if completes else cli.asked(words)


def main() -> None:
    """Run the command line; a pipe that closes early ends it quietly, a failure of the tool itself in two lines."""
    end_on_signals()
    try:
        _asked(sys.argv[1:])()
    except BrokenPipeError:
        leave_stream()
        raise SystemExit(1) from None
    except OSError as error:
        if _is_own(error):
            own_failure(error)
            raise SystemExit(_FAILED) from None
        leave_stream()
        no_room(error)
        raise SystemExit(2) from None
    except Exception as error:
        own_failure(error)
        raise SystemExit(_FAILED) from None
