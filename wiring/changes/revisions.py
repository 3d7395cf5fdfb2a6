"""Plans as they stand in files, or stood at a revision of a git repository."""

from __future__ import annotations

import io
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from wiring.changes.outcome import Outcome, open_plan, outcome_of
from wiring.plan.fault import Refusal
from wiring.plan.syntax import STANDARD_INPUT

_EXPECTED = "a plan file, or REVISION:PATH of a git repository, such as HEAD~1:plan.yaml"

#: A name that ends so means a file: where it is not there, git is not asked for a revision of that name.
_OF_A_PLAN = (".yaml", ".yml")


@contextmanager
def opened_beside(name: str, beside: str) -> Iterator[Outcome]:
    """The plan that a name stands for: a file, `REVISION:PATH`, or a revision of the file `beside`.

    What a revision holds lies in a folder of its own while it is used. Raises Unreadable for a plan that is none,
    Refusal for a name that stands for nothing.
    """
    if name == STANDARD_INPUT or Path(name).exists():
        yield open_plan(Path(name))
        return
    revision, path = _parted(name, beside)
    with tempfile.TemporaryDirectory(prefix="wiring-") as folder:
        inside = _taken_out(revision, path, Path(folder))
        data = open_text(inside, name)
        yield outcome_of(data, name, inside.parent)


def open_text(path: Path, name: str) -> str:
    """The text of a plan that was taken out. Raises Refusal where it is not there or is no text."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise Refusal(f"{name} holds no plan there", _EXPECTED, complete=True) from None


def _parted(name: str, beside: str) -> tuple[str, Path]:
    revision, colon, path = name.partition(":")
    if colon and revision and path:
        return revision, Path(path)
    if not colon and Path(beside).is_file() and Path(name).suffix.lower() not in _OF_A_PLAN:
        return name, Path(beside)
    raise Refusal(f"there is no file {name[:80]}", _EXPECTED, complete=True)


def _taken_out(revision: str, path: Path, folder: Path) -> Path:
    """The files of a revision in a folder; gives where the plan lies there."""
    if revision.startswith("-"):
        raise Refusal(f"{revision[:80]!r} is no revision", _EXPECTED, complete=True)
    around = path.parent if path.parent.is_dir() else Path()
    top = Path(_git(around, "rev-parse", "--show-toplevel").decode().strip())
    archive = _git(top, "archive", "--format=tar", f"{revision}^{{tree}}")
    with tarfile.open(fileobj=io.BytesIO(archive)) as tar:
        tar.extractall(folder, filter="data")
    return folder / path.resolve().relative_to(top.resolve())


def _git(folder: Path, *arguments: str) -> bytes:
    """What git prints. Raises Refusal with its own words where it refuses, or is not there."""
    try:
        done = subprocess.run(["git", "-C", str(folder or "."), *arguments], capture_output=True, check=True)
    except FileNotFoundError:
        raise Refusal("revisions need the program git", "two plan files", complete=True) from None
    except subprocess.CalledProcessError as error:
        said = error.stderr.decode(errors="replace").strip().splitlines()
        raise Refusal(f"git says: {said[0][:120] if said else 'nothing'}", _EXPECTED, complete=True) from None
    return done.stdout
