"""The command in a process of its own, without the time of a start: a server that has all modules is forked for each.

What depends on how the interpreter starts (hash seed, encoding of the streams) or on what its streams are needs
a start of its own and is no matter for this.
"""

from __future__ import annotations

import io
import multiprocessing
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
#: Imports every module of the package before it is forked.
_EVERYTHING = "tests.all_modules"


def run_command(
    *arguments: object, cwd: Path = ROOT, environment: dict[str, str] | None = None, text: str = "", limit: float = 120
) -> subprocess.CompletedProcess[bytes]:
    """What `wiring ARGUMENTS` prints with `text` as its input; after `limit` seconds it counts as hanging."""
    words = [str(argument) for argument in arguments]
    server = multiprocessing.get_context("forkserver")
    server.set_forkserver_preload([_EVERYTHING])
    with tempfile.TemporaryDirectory() as folder:
        streams = [Path(folder) / name for name in ("input", "output", "errors")]
        for stream, content in zip(streams, (text, "", ""), strict=True):
            stream.write_text(content, "utf-8")
        child = server.Process(target=_command, args=(words, cwd, dict(environment or os.environ), streams))
        child.start()
        child.join(limit)
        if child.is_alive():
            child.kill()
            raise subprocess.TimeoutExpired(words, limit)
        status = child.exitcode
        assert status is not None, "a process that has ended has a status"
        return subprocess.CompletedProcess(words, status, streams[1].read_bytes(), streams[2].read_bytes())


def run(*arguments: object, cwd: Path = ROOT, typed: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, 80 columns wide; no traceback whatever happens.

    Started anew where the environment is the interpreter's own.
    """
    around = {key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "FORCE_COLOR", "COLUMNS")}
    around |= {"COLUMNS": "80", "PYTHONIOENCODING": "utf-8", "PYTHONPATH": str(ROOT), **environment}
    printed = (_started if any(key.startswith("PYTHON") for key in environment) else run_command)(
        *arguments, cwd=cwd, environment=around, text=typed
    )
    done = subprocess.CompletedProcess(
        printed.args, printed.returncode, printed.stdout.decode("utf-8"), printed.stderr.decode("utf-8")
    )
    assert "Traceback" not in done.stdout + done.stderr
    assert done.returncode != 3, done.stderr
    return done


def _started(
    *arguments: object, cwd: Path, environment: dict[str, str], text: str
) -> subprocess.CompletedProcess[bytes]:
    """What `wiring ARGUMENTS` prints from an interpreter of its own."""
    command = [sys.executable, "-m", "wiring", *map(str, arguments)]
    return subprocess.run(
        command, cwd=cwd, env=environment, input=text.encode(), capture_output=True, check=False, timeout=120
    )


def _command(words: list[str], cwd: Path, environment: dict[str, str], streams: list[Path]) -> None:
    """In the forked process: its streams, folder and environment, then the command."""
    for number, path in enumerate(streams):
        kept = os.open(path, os.O_RDONLY if number == 0 else os.O_WRONLY | os.O_APPEND)
        os.dup2(kept, number)
    sys.stdin = io.TextIOWrapper(io.FileIO(0, closefd=False), encoding="utf-8")
    sys.stdout = io.TextIOWrapper(io.FileIO(1, "w", closefd=False), encoding="utf-8")
    sys.stderr = io.TextIOWrapper(io.FileIO(2, "w", closefd=False), encoding="utf-8")
    os.chdir(cwd)
    os.environ.clear()
    os.environ.update(environment)
    sys.argv = ["wiring", *words]
    from wiring.cli_start import main

    try:
        main()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
