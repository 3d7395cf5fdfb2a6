"""Files that are written whole or not at all, and never over what a command reads. Every layer may use it."""

from __future__ import annotations

import os
import signal
import stat
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from glob import escape
from pathlib import Path
from time import time
from types import FrameType

#: A file that is written beside its place ends so; one as old as this belongs to no command that still runs [s].
_BESIDE, _LEFT_S = ".part", 60.0
#: A file keeps these bits of its mode when it is replaced.
_MODE_BITS = 0o777
_SIGNALS = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))


class CannotSaveError(Exception):
    """A file cannot be written; the message says which, why, and what to do."""


def check_destination(path: Path, inputs: Iterable[Path] = ()) -> None:
    """Raises CannotSaveError where the path cannot take a file, or is one of the `inputs` that are read."""
    missing = f"There is no folder {path.parent}. Make it first, or name a file in one that is there."
    try:
        if not stat.S_ISDIR(os.stat(path.parent).st_mode):
            raise CannotSaveError(missing)
    except (FileNotFoundError, NotADirectoryError):
        raise CannotSaveError(missing) from None
    except (OSError, ValueError) as error:
        raise _refusal(path, error) from None
    try:
        found = os.lstat(path)
    except FileNotFoundError:
        return
    except (OSError, ValueError) as error:
        raise _refusal(path, error) from None
    if stat.S_ISDIR(found.st_mode):
        raise CannotSaveError(f"{path} is a folder. Name a file, such as {path / 'list.csv'}.")
    if stat.S_ISLNK(found.st_mode):
        raise CannotSaveError(f"{path} is a link and is left as it is. Name the file that it leads to.")
    if not stat.S_ISREG(found.st_mode):
        raise CannotSaveError(f"{path} is no ordinary file and is left as it is. Name a file.")
    if any(is_same_file(path, other) for other in inputs):
        raise CannotSaveError(f"{path} is read by this command and would be lost. Choose another file to write.")
    if not found.st_mode & 0o222:
        raise CannotSaveError(f"{path} is write-protected and is left as it is. Choose another file to write.")


def is_same_file(path: Path, other: Path) -> bool:
    """Whether two paths lead to one file, by whatever names."""
    try:
        return os.path.samefile(path, other)
    except (OSError, ValueError):
        return os.path.realpath(path) == os.path.realpath(other)


def save(path: Path, data: str | bytes, inputs: Iterable[Path] = ()) -> None:
    """Writes one file. Raises CannotSaveError where that cannot be done; what was there stays then."""
    save_all({path: data}, inputs)


def save_for_good(path: Path, data: str, inputs: Iterable[Path] = ()) -> None:
    """Writes one file so that it is there even if the power fails at once. Raises CannotSaveError like `save`."""
    check_destination(path, tuple(inputs))
    with whole():
        beside = _written_beside(path, data.encode("utf-8"), for_good=True)
        try:
            os.replace(beside, path)
            _sync_folder(path.parent)
        except OSError as error:
            with suppress(OSError):
                beside.unlink(missing_ok=True)
            raise _refusal(path, error) from error


def clear_left(path: Path) -> None:
    """Takes away what a command that was killed left beside a file. What cannot be taken away stays."""
    now = time()
    for left in path.parent.glob(f"{escape(_prefix(path))}{'?' * 8}{_BESIDE}"):
        with suppress(OSError):
            if now - left.stat().st_mtime > _LEFT_S:
                left.unlink()


def _prefix(path: Path) -> str:
    return f".{path.name[:40]}."


def _sync_folder(folder: Path) -> None:
    """A new name is on the disk only when its folder is; not every system can open a folder."""
    with suppress(PermissionError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def save_all(files: Mapping[Path, str | bytes], inputs: Iterable[Path] = (), stale: Iterable[Path] = ()) -> None:
    """Writes all files and takes the `stale` ones away, or changes nothing.

    Every file is written beside its place, then all are renamed. A file keeps the mode of the one that was there, a new
    one follows the umask. A signal to end waits until the set is whole. Raises CannotSaveError.
    """
    inputs = tuple(inputs)
    for path in files:
        check_destination(path, inputs)
    gone = [path for path in stale if path not in files and not any(is_same_file(path, other) for other in inputs)]
    with whole():
        beside: dict[Path, Path] = {}
        try:
            for path, data in files.items():
                beside[path] = _written_beside(path, data.encode("utf-8") if isinstance(data, str) else data)
            _put_in_place(beside, gone)
        finally:
            for name in beside.values():
                with suppress(OSError):
                    name.unlink(missing_ok=True)


def _refusal(path: Path, error: Exception) -> CannotSaveError:
    reason = (getattr(error, "strerror", None) or str(error)).lower()
    return CannotSaveError(f"{path} cannot be written: {reason}. Choose another file to write.")


def _written_beside(path: Path, data: bytes, *, for_good: bool = False) -> Path:
    from tempfile import NamedTemporaryFile  # takes as long to import as half of this program's own start

    beside: Path | None = None
    try:
        with NamedTemporaryFile(dir=path.parent, prefix=_prefix(path), suffix=_BESIDE, delete=False) as file:
            beside = Path(file.name)
            file.write(data)
            if for_good:
                file.flush()
                os.fsync(file.fileno())
        beside.chmod(_mode(path))
    except OSError as error:
        if beside is not None:
            with suppress(OSError):
                beside.unlink()
        raise _refusal(path, error) from error
    return beside


def _mode(path: Path) -> int:
    """The mode of the file that is there, else what the umask leaves of a new one."""
    with suppress(OSError):
        return os.stat(path).st_mode & _MODE_BITS
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _put_in_place(beside: Mapping[Path, Path], gone: Iterable[Path]) -> None:
    """Renames all files and takes the others away; where one step fails, all that was done is undone."""
    undo: list[tuple[Path, bytes | None, int]] = []
    several = len(beside) > 1 or bool(list(gone))
    path = Path()
    try:
        for path, name in beside.items():
            before = _held(path) if several else None
            os.replace(name, path)
            undo.append((path, before, _mode(path)))
        for path in gone:
            undo.append((path, _held(path), _mode(path)))
            path.unlink()
    except OSError as error:
        for place, data, mode in reversed(undo if several else []):
            with suppress(OSError):
                _put_back(place, data, mode)
        raise _refusal(path, error) from error


def _held(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _put_back(path: Path, data: bytes | None, mode: int) -> None:
    if data is None:
        path.unlink(missing_ok=True)
    else:
        path.write_bytes(data)
        path.chmod(mode)


class _Ending:
    """Signals that end the command: held back while something is being made whole."""

    depth = 0
    waiting: int | None = None

    @classmethod
    def take(cls, number: int, _: FrameType | None) -> None:
        """Ends the command with the status that shells give the signal; a second one does not wait any more."""
        if cls.depth and cls.waiting is None:
            cls.waiting = number
            return
        raise SystemExit(128 + number)


def end_on_signals() -> None:
    """From here on a signal to end unwinds the command, so that temporary files go."""
    for number in _SIGNALS:
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _Ending.take)


@contextmanager
def whole() -> Iterator[None]:
    """Holds signals back until what stands inside is done."""
    _Ending.depth += 1
    try:
        yield
    finally:
        _Ending.depth -= 1
        if not _Ending.depth and _Ending.waiting is not None:
            number, _Ending.waiting = _Ending.waiting, None
            raise SystemExit(128 + number)
