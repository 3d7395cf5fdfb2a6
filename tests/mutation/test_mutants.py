"""Clean plans broken in every way: no rule fails, and what matters is told, except for the misses that README.md lists.

A sample of 50 by default; `WIRING_MUTANTS=5000` (or any number) for a longer run.
"""

from __future__ import annotations

import os
import re
from functools import cache
from pathlib import Path

import pytest
from machine import Machine, machines
from mutants import Answer, Mutant, all_mutants, answer, doubles, judged, loud, sample
from plain_plans import written
from ways import WAYS

from wiring.findings import Report

README = Path(__file__).parent / "README.md"
SIZE = int(os.environ.get("WIRING_MUTANTS", "50"))
#: Share of meaningful breaks that are told above NOTICE, as measured (goal 0.95): 43 of 44 in the sample of 50,
#: 132 of 133 in that of 150, 2,582 of the 2,633 there are in all; 610 of 623 in the run of 695 stands for any other.
MEASURED = {50: 43 / 44, 150: 132 / 133}.get(SIZE, 2582 / 2633 if SIZE >= 5000 else 610 / 623)


@cache
def run() -> list[tuple[Mutant, Answer]]:
    """The sample, judged once for all tests."""
    return [(mutant, answer(mutant)) for mutant in sample(SIZE)]


def misses() -> list[Mutant]:
    return [m for m, said in run() if m.way.meaningful and not said.catches(m.way)]


def listed() -> set[str]:
    """The ways with misses that README.md gives a reason for: `name` at the start of a row of its table."""
    return set(re.findall(r"^\| `([^`]+)` \|", README.read_text(encoding="utf-8"), re.MULTILINE))


@pytest.mark.parametrize("machine", machines(), ids=lambda machine: machine.name)
def test_the_clean_plan_is_clear_after_reading_and_writing(machine: Machine) -> None:
    report = judged(written(machine.plan), machine.name)
    assert isinstance(report, Report)
    assert loud(report) == ()


def test_there_are_forty_ways_and_more_and_each_has_a_place() -> None:
    assert sum(way.meaningful for way in WAYS) >= 40
    assert len({way.name for way in WAYS}) == len(WAYS)
    assert [way.name for way in WAYS if not any(True for m in machines() for _ in way.places(m))] == []


def test_no_rule_fails_and_every_mutant_is_read() -> None:
    assert [(m.name, said.crashed) for m, said in run() if said.crashed] == []
    assert [(m.name, said.refused) for m, said in run() if said.refused] == []


def test_no_rule_fails_where_two_things_are_broken() -> None:
    """What a long run asks for beyond the mutants that there are is filled with pairs; a pair may be unreadable."""
    count = max(SIZE - len(all_mutants()), 10)
    failed = [(name, report.crashed) for name, report in map(_judged, doubles(count)) if report and report.crashed]
    assert failed == []


def _judged(double: tuple[str, str]) -> tuple[str, Report | None]:
    name, text = double
    report = judged(text, name)
    return name, report if isinstance(report, Report) else None


def test_the_share_told_is_what_was_measured() -> None:
    meaningful = [m for m, _ in run() if m.way.meaningful]
    share = 1 - len(misses()) / len(meaningful)
    print(f"{len(run())} mutants, {len(meaningful)} meaningful, {share:.1%} told above NOTICE")
    assert share >= MEASURED


def test_every_miss_has_its_reason() -> None:
    assert sorted({m.name for m in misses() if m.way.name not in listed()}) == []
