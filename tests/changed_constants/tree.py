"""A copy of the tree in which one thing is changed at a time, and the tests of its rooms that can see the change."""

from __future__ import annotations

import ast
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from coverage import CoverageData

from tests.changed_constants.changes import Change
from tests.changed_constants.forked import OUT_OF_REACH, QUIET, STOPPED_S, stop_when_used_up

#: The folders of `wiring/` that are changed, and the rooms of `tests/` that answer for each.
ROOMS = {
    "wiring/rulebooks": ("tests/rulebooks", "tests/rules"),
    "wiring/design": ("tests/design", "tests/rules"),
    "wiring/rules": ("tests/rules",),
    "wiring/solver": ("tests/solver", "tests/design"),
    "wiring/control": ("tests/control",),
}
_COPIED = ("wiring", "tests", "specs", "pyproject.toml")
_LEFT_OUT = shutil.ignore_patterns("__pycache__")
_NAME = re.compile(r"\b[A-Za-z_][A-Za-z_0-9]*\b")
#: Seconds of the processor that the tests of one change may take, as measured with coverage on.
BUDGET_S = 20.0
#: Tests that are started first, as a change mostly falls by one of them.
_FIRST = 40


@dataclass(frozen=True)
class Outcome:
    """What the tests said to a change: `killed_by` is the one that failed, "" where all `ran` of the `known` passed."""

    change: Change
    killed_by: str
    ran: int
    known: int


class Tree:
    """A copy of `root` at `work`; what its tests run is measured there once, and again when the folder is new."""

    def __init__(self, root: Path, work: Path) -> None:
        self.work = work
        for name in _COPIED:
            if (root / name).is_dir():
                shutil.copytree(root / name, work / name, dirs_exist_ok=True, ignore=_LEFT_OUT)
            elif (root / name).exists():
                shutil.copy(root / name, work / name)

    def __enter__(self) -> Tree:
        return self

    def __exit__(self, *_: object) -> None:
        """End the process that has everything imported, where there is one."""
        if "_imported" in vars(self):
            self._imported.communicate()

    @cached_property
    def seconds(self) -> dict[str, float]:
        """Every test of the rooms with its time in s, as measured with coverage on."""
        times: dict[str, float] = json.loads((self._measured / "seconds.json").read_text(encoding="utf-8"))
        return times

    @cached_property
    def _measured(self) -> Path:
        folder = self.work / "measured"
        if not (folder / "seconds.json").exists():
            folder.mkdir(exist_ok=True)
            (folder / "settings.ini").write_text("[run]\nrelative_files = true\nsource = wiring\n", encoding="utf-8")
            config = [f"--cov-config={folder}/settings.ini", "--cov", "--cov-context=test", "--cov-report="]
            done = self._pytest(["-p", "tests.changed_constants.measuring", *self._rooms, *config], limited=False)
            if done.returncode != 0:
                (folder / "seconds.json").unlink(missing_ok=True)
                raise SystemExit(f"the unchanged tree fails its tests:\n{done.stdout}")
        return folder

    @property
    def _rooms(self) -> list[str]:
        return sorted({room for rooms in ROOMS.values() for room in rooms if (self.work / room).exists()})

    @property
    def _environment(self) -> dict[str, str]:
        measured = self.work / "measured"
        files = {"COVERAGE_FILE": str(measured / "coverage"), "SECONDS_FILE": str(measured / "seconds.json")}
        return {**os.environ, "PYTHONPATH": str(self.work), **files}

    def _pytest(self, arguments: list[str], *, limited: bool) -> subprocess.CompletedProcess[str]:
        """A fresh process that imports the copy."""
        command = [sys.executable, "-m", "pytest", *QUIET, *arguments]
        return subprocess.run(
            command,
            cwd=self.work,
            env=self._environment,
            capture_output=True,
            text=True,
            preexec_fn=stop_when_used_up if limited else None,
            check=False,
        )

    @cached_property
    def _coverage(self) -> CoverageData:
        data = CoverageData(str(self._measured / "coverage"))
        data.read()
        return data

    def _running(self, path: Path, lines: set[int]) -> set[str]:
        """The tests that ran one of these lines of a file."""
        contexts = self._coverage.contexts_by_lineno(str(path))
        return {name.rpartition("|")[0] for line in lines for name in contexts.get(line, ()) if "|" in name}

    def tests_of(self, change: Change) -> list[str]:
        """The tests of its rooms that run the line or use what it defines, first those of files that name it."""
        rooms = next(rooms for folder, rooms in ROOMS.items() if change.path.is_relative_to(folder))
        tree = ast.parse((self.work / change.path).read_bytes())
        lines = _lines(tree, change.line)
        found = self._running(change.path, lines)
        if not lines or _is_cached(tree, change.line):
            found |= self._users(tree, change)
        known = [t for t in found if t in self.seconds and t.startswith(tuple(f"{room}/" for room in rooms))]
        naming = {file for file in {t.partition("::")[0] for t in known} if self._names(file, change.path)}
        return sorted(known, key=lambda t: (t.partition("::")[0] not in naming, self.seconds[t], t))

    def _names(self, file: str, module: Path) -> bool:
        text = (self.work / file).read_text(encoding="utf-8")
        return module.stem in Path(file).stem or ".".join(module.with_suffix("").parts) in text

    def _users(self, tree: ast.Module, change: Change) -> set[str]:
        """The tests that run a line which names what the statement around a line defines; all where there is none."""
        defined = _defined(tree, change.line)
        found: set[str] = set()
        for path in (self.work / "wiring").rglob("*.py"):
            text = path.read_text(encoding="utf-8").splitlines()
            lines = {n for n, line in enumerate(text, 1) if not defined.isdisjoint(_NAME.findall(line))}
            found |= self._running(path.relative_to(self.work), lines) if lines else set()
        return found or set(self.seconds)

    def judged(self, change: Change) -> Outcome:
        """Make the change, run the tests that can see it until one fails, and take it back."""
        known = self.tests_of(change)
        tests = list(self._within_budget(known))
        if not tests:
            return Outcome(change, "", 0, 0)
        file = self.work / change.path
        source = file.read_bytes()
        changed = change.applied(source)
        lines = _lines(ast.parse(source), change.line)
        killed = self._asked(file, changed, tests) if lines else OUT_OF_REACH
        if killed == OUT_OF_REACH or (not killed and self._runs_on_import(change.path, lines)):
            try:
                self._write(file, changed)
                killed = self._first_failure(tests[:_FIRST]) or self._first_failure(tests[_FIRST:])
            finally:
                self._write(file, source)
        return Outcome(change, killed, len(tests), len(known))

    def _runs_on_import(self, path: Path, lines: set[int]) -> bool:
        """Whether any of these lines ran outside of tests, so that a change of it must be there from the start."""
        contexts = self._coverage.contexts_by_lineno(str(path))
        return any("" in contexts.get(line, ()) for line in lines)

    def _asked(self, file: Path, changed: bytes, tests: list[str]) -> str:
        """What a child of the process that has everything imported says."""
        line = json.dumps({"path": str(file), "source": changed.decode(), "tests": tests})
        print(line, file=self._imported.stdin, flush=True)
        assert self._imported.stdout is not None
        return str(json.loads(self._imported.stdout.readline()))

    @cached_property
    def _imported(self) -> subprocess.Popen[str]:
        command = [sys.executable, "-m", "tests.changed_constants.forked", *self._rooms]
        pipe = subprocess.PIPE
        process = subprocess.Popen(
            command, cwd=self.work, env=self._environment, stdin=pipe, stdout=pipe, stderr=subprocess.DEVNULL, text=True
        )
        assert process.stdout is not None
        process.stdout.readline()
        return process

    @staticmethod
    def _write(file: Path, source: bytes) -> None:
        """Write a module, and drop what was compiled of it: by its size and its second it may look like the new one."""
        file.write_bytes(source)
        for compiled in (file.parent / "__pycache__").glob(f"{file.stem}.*"):
            compiled.unlink()

    def _within_budget(self, tests: list[str]) -> Iterator[str]:
        spent = 0.0
        for test in tests:
            spent += self.seconds[test]
            if spent > BUDGET_S:
                return
            yield test

    def _first_failure(self, tests: list[str]) -> str:
        if not tests:
            return ""
        done = self._pytest(tests, limited=True)
        if done.returncode < 0:
            return f"stopped after {STOPPED_S} s"
        if done.returncode == 0:
            return ""
        return next((line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))), "no test ran")


def _around(tree: ast.AST, line: int) -> list[ast.stmt]:
    """The statements around a line, the outermost first."""
    statements = (node for node in ast.walk(tree) if isinstance(node, ast.stmt))
    return sorted(
        (node for node in statements if node.lineno <= line <= (node.end_lineno or node.lineno)),
        key=lambda node: (node.lineno, -(node.end_lineno or 0)),
    )


def _functions(tree: ast.AST, line: int) -> list[ast.FunctionDef]:
    """The functions in whose body a line stands."""
    return [n for n in _around(tree, line) if isinstance(n, ast.FunctionDef) and n.body[0].lineno <= line]


def _lines(tree: ast.Module, line: int) -> set[int]:
    """The lines of the statement at a line, of a compound one its head; none where that runs on import alone."""
    if not _functions(tree, line):
        return set()
    last = _around(tree, line)[-1]
    body = getattr(last, "body", None)
    return set(range(last.lineno, body[0].lineno if body else (last.end_lineno or last.lineno) + 1))


def _is_cached(tree: ast.Module, line: int) -> bool:
    """Whether a line stands in a function that is run once for all tests."""
    return any("cache" in ast.unparse(one) for f in _functions(tree, line) for one in f.decorator_list)


def _defined(tree: ast.Module, line: int) -> set[str]:
    """The names that the statement at a line defines: of a table its name, of a function or a class with it its own."""
    variables: set[str] = set()
    blocks: set[str] = set()
    for node in _around(tree, line):
        if isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            variables |= {n.id for target in targets for n in ast.walk(target) if isinstance(n, ast.Name)}
        elif isinstance(node, ast.FunctionDef | ast.ClassDef):
            blocks.add(node.name)
    return blocks if _functions(tree, line) else variables or blocks
