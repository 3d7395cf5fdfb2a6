"""Several plans judged side by side, each in a process of its own; one that fails does not stop the rest."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from msgspec import Struct

from wiring.findings import Report, Signal

#: Exit statuses of one plan: its verdict, a plan that cannot be read, the tool itself.
UNREADABLE, FAILED = 2, 3
#: A plan says its format before its parts; a description of a machine says `describe`, a library names parts.
_PLAN = re.compile(r"^format:", re.MULTILINE)
_NO_PLAN = re.compile(r"^describe:", re.MULTILINE)
_HEAD = 4000
_SUFFIXES = (".yaml", ".yml")
Progress = Callable[[str, int, int], None]


class Asked(Struct, frozen=True):
    """How every plan is judged and printed; `everything` is in full, in place of a line a rule."""

    style: str
    state: str | None
    fail_on: Signal | None
    everything: bool
    width: int
    colour: bool
    encoding: str


class Checked(Struct, frozen=True):
    """What came of one plan: what is printed of it (text, or plain data of JSON and SARIF), its verdict in a word, how
    many findings of each signal word stand, open questions, and its exit status."""

    plan: str
    printed: Any
    verdict: str
    counts: tuple[int, ...]
    open_questions: int
    status: int


def plans_in(named: Iterable[Path]) -> list[Path]:
    """The files as they are named, and in the place of a folder every plan below it, in the order of their names."""
    found: list[Path] = []
    for path in named:
        found += _below(path) if path.is_dir() else [path]
    return list(dict.fromkeys(found))


def _below(folder: Path) -> list[Path]:
    hidden = [path for path in folder.rglob("*") if path.suffix in _SUFFIXES and path.is_file()]
    shown = [path for path in hidden if not any(part.startswith(".") for part in path.relative_to(folder).parts)]
    return [path for path in sorted(shown) if _is_plan(path)]


def _is_plan(path: Path) -> bool:
    try:
        with path.open(encoding="utf-8", errors="replace") as file:
            head = file.read(_HEAD)
    except OSError:
        return True  # the check says why it cannot be read
    return bool(_PLAN.search(head)) and not _NO_PLAN.search(head)


def checked_side_by_side(plans: Sequence[Path], asked: Asked, progress: Progress | None = None) -> list[Checked]:
    """Every plan judged, in the order given, as many at a time as there are processors."""
    workers = min(len(plans), os.cpu_count() or 1)
    found: dict[Path, Checked] = {}
    with ProcessPoolExecutor(workers, mp_context=get_context("forkserver" if os.name == "posix" else "spawn")) as pool:
        running = {pool.submit(checked, plan, asked): plan for plan in plans}
        for done in as_completed(running):
            plan = running[done]
            found[plan] = _result(done, plan)
            if progress is not None:
                progress(plan.name, len(found), len(plans))
    return [found[plan] for plan in plans]


def _result(done: Future[Checked], plan: Path) -> Checked:
    try:
        return done.result()
    except BrokenProcessPool:
        return failed(plan, "the process that judged it has ended")


def failed(plan: Path, why: str) -> Checked:
    """A plan on which the tool itself has failed."""
    return Checked(
        str(plan), f"{plan}: wiring itself has failed, and nothing is judged: {why}.\n", "failed", (), 0, FAILED
    )


def checked(plan: Path, asked: Asked) -> Checked:
    """One plan judged and printed. Never raises."""
    try:
        return _checked(plan, asked)
    except Exception as error:
        return failed(plan, f"{type(error).__name__}: {error}"[:200])


def _checked(plan: Path, asked: Asked) -> Checked:
    from wiring.changes.judging import judged_with_mends
    from wiring.design.design import in_state
    from wiring.design.load import load
    from wiring.reports import exit_status, render, render_faults
    from wiring.rules.run import rule_texts

    found = load(plan)
    if found.design is None:
        told = _data(asked.style, found.faults, found.name) or render_faults(
            found.faults, found.sources, asked.style, plan=found.name, width=asked.width, encoding=asked.encoding
        )
        return Checked(found.name, told, "unreadable", (), 0, UNREADABLE)
    if asked.state is not None and asked.state not in found.design.state_entries:
        words = f"{plan}: the plan has no state {asked.state}.\n"
        return Checked(found.name, words, "no such state", (), 0, UNREADABLE)
    design = found.design if asked.state is None else in_state(found.design, asked.state)
    report = judged_with_mends(design)
    printed = (
        _report_data(asked.style, report)
        or _in_short(asked, report)
        or render(
            report,
            found.sources,
            asked.style,
            width=asked.width,
            colour=asked.colour and asked.style == "text",
            everything=asked.everything,
            rules=rule_texts(report),
            encoding=asked.encoding,
        )
    )
    counts = tuple(sum(one.signal is signal for one in report.standing) for signal in Signal)
    status = exit_status(report, asked.fail_on)
    return Checked(found.name, printed, str(report.verdict), counts, len(report.open_questions), status)


def _in_short(asked: Asked, report: Report) -> str:
    """A line for each rule above NOTICE, in text that was not asked for in full; "" otherwise."""
    if asked.style != "text" or asked.everything:
        return ""
    from wiring.reports.screen import render_short

    return render_short(report, width=asked.width, colour=asked.colour, encoding=asked.encoding)


def _report_data(style: str, report: Report) -> Any:
    """The report as plain data for the styles that are put together afterwards, None for text."""
    from wiring.rules.run import rule_texts

    if style == "json":
        from wiring.reports.json_report import report_data

        return report_data(report)
    if style == "sarif":
        from wiring.reports.sarif import report_log

        return report_log(report, rule_texts(report))
    return None


def _data(style: str, faults: Any, name: str) -> Any:
    if style == "json":
        from wiring.reports.json_report import fault_data

        return fault_data(faults, name)
    if style == "sarif":
        from wiring.reports.sarif import fault_log

        return fault_log(faults, name)
    return None
