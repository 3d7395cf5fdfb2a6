"""A process that has imported the copy and its tests and run none: it forks for every change of a function.

A child puts the changed code into the function, empties what is cached, and runs the tests that it is given, at a
fifth of the cost of a start. What runs on import too is out of its reach: a survivor of that is judged from a start.

Reads lines of JSON, `{"path", "source", "tests"}`, and answers each with the test that failed, "" where none did.
"""

from __future__ import annotations

import functools
import gc
import json
import os
import resource
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from types import CodeType, FunctionType

import pytest

#: Arguments of every run of tests.
QUIET = ("-q", "-x", "--tb=no", "-p", "no:cacheprovider")
#: Seconds of the processor after which a change counts as one that never ends: three times what its tests may take.
STOPPED_S = 60
#: The answer where no function differs: what changed runs on import.
OUT_OF_REACH = "out of reach"


def stop_when_used_up() -> None:
    """End this process when it has used its time of the processor, whatever else the machine does."""
    resource.setrlimit(resource.RLIMIT_CPU, (STOPPED_S, STOPPED_S))


class _First:
    """A plugin that keeps the name of the first test that fails."""

    def __init__(self) -> None:
        self.failed = ""

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failed = self.failed or report.nodeid


def _codes(code: CodeType) -> Iterator[CodeType]:
    """The code of every function in a module or a class, without those inside functions."""
    for one in code.co_consts:
        if isinstance(one, CodeType):
            yield one
            if not one.co_flags & 0x01:  # a class body has no fast locals
                yield from _codes(one)


@dataclass(frozen=True)
class _Imported:
    """The functions of the copy by their file, and all that is cached."""

    functions: dict[str, list[FunctionType]]
    caches: list[functools._lru_cache_wrapper[object]]

    @classmethod
    def taken(cls) -> _Imported:
        found: defaultdict[str, list[FunctionType]] = defaultdict(list)
        objects = gc.get_objects()
        for one in objects:
            if isinstance(one, FunctionType):
                found[one.__code__.co_filename].append(one)
        return cls(found, [one for one in objects if isinstance(one, functools._lru_cache_wrapper)])

    def run(self, source: str, path: str, tests: list[str]) -> str:
        """In the child: change the function, empty the caches, run the tests."""
        new = {code.co_qualname: code for code in _codes(compile(source, path, "exec", dont_inherit=True))}
        changed = [f for f in self.functions[path] if new.get(f.__code__.co_qualname, f.__code__) != f.__code__]
        if not changed:
            return OUT_OF_REACH
        for function in changed:
            function.__code__ = new[function.__code__.co_qualname]
        for cache in self.caches:
            cache.cache_clear()
        first = _First()
        status = pytest.main([*QUIET, *tests], plugins=[first])
        return first.failed or ("" if status == 0 else f"pytest ended with {int(status)}")


def _forked(imported: _Imported, asked: dict[str, str], tests: list[str]) -> str:
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        answer = "the change breaks the process"
        stop_when_used_up()
        try:
            answer = imported.run(asked["source"], asked["path"], tests)
        finally:
            os.write(writer, answer.encode())
            os._exit(0)
    os.close(writer)
    with os.fdopen(reader) as pipe:
        answer = pipe.read()
    _, status = os.waitpid(child, 0)
    return f"stopped after {STOPPED_S} s" if os.WIFSIGNALED(status) else answer


def main(rooms: list[str]) -> None:
    """Import everything, then answer until the input ends."""
    answers = os.fdopen(os.dup(1), "w")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    pytest.main(["-q", "--collect-only", "-p", "no:cacheprovider", *rooms])
    for path in Path("wiring").rglob("*.py"):  # rules are imported when they are asked
        if path.stem != "__main__":
            import_module(".".join(path.with_suffix("").parts).removesuffix(".__init__"))
    imported = _Imported.taken()
    gc.collect()
    gc.freeze()
    print("ready", file=answers, flush=True)
    for line in sys.stdin:
        asked = json.loads(line)
        print(json.dumps(_forked(imported, asked, asked["tests"])), file=answers, flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
