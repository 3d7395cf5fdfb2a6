"""Two mistakes at once in one clean plan: what each gives alone is told still, and no mistake hides the other.

A finding that stands for one mistake alone, and is folded beside the other under a root that only the other one has, is
a wrong fold. All pairs with `WIRING_PAIRS=all`; a sample, drawn by the names of the pairs, otherwise.
"""

from __future__ import annotations

import os
from copy import deepcopy
from functools import cache
from hashlib import sha256
from itertools import combinations

import pytest
from marked_plans import read
from plain_plans import written
from test_faulty_edits import CASES, apply_edits, report_of

from wiring.findings import Finding, Report, Signal
from wiring.rules.run import judge

_SAMPLE = 16


def _places(name: str) -> set[str]:
    case = CASES[name]
    return {*case.get("set", {}), *case.get("drop", ()), *case.get("add", {})}


def _clash(one: str, other: str) -> bool:
    """Whether two mistakes touch the same place, so that one undoes the other."""
    return any(
        a == b or a.startswith(f"{b}/") or b.startswith(f"{a}/")
        for a in _places(one)
        for b in _places(other)
        if "/" in a or "/" in b
    )


@cache
def pairs() -> tuple[tuple[str, str], ...]:
    """Every pair of mistakes in one plan that do not touch the same place."""
    found = combinations(sorted(CASES), 2)
    return tuple((a, b) for a, b in found if CASES[a]["base"] == CASES[b]["base"] and not _clash(a, b))


def drawn() -> list[tuple[str, str]]:
    if os.environ.get("WIRING_PAIRS") == "all":
        return list(pairs())
    return sorted(pairs(), key=lambda pair: sha256("|".join(pair).encode()).digest())[:_SAMPLE]


def expected(name: str) -> list[tuple[str, str]]:
    """Rule and subject of what a mistake gives alone above NOTICE."""
    return list(CASES[name]["finds"].items())


def both(pair: tuple[str, str]) -> Report | None:
    """What the rules say to both mistakes; None where the two edits make no plan."""
    try:
        plan = apply_edits(deepcopy(CASES[pair[0]]), None)
        plan = apply_edits(deepcopy(CASES[pair[1]]), plan)
        return judge(read(written(plan)))
    except (AssertionError, KeyError, StopIteration):
        return None


def _match(report: Report, rule: str, subject: str) -> list[Finding]:
    return [one for one in report.findings if one.rule == rule and subject in one.subjects]


def lost(pair: tuple[str, str]) -> tuple[int, list[str], list[str]]:
    """How many findings were expected of a pair, those folded under a root of the other mistake, those absent."""
    report = both(pair)
    if report is None:
        return 0, [], []
    count, folded, absent = 0, [], []
    for name in pair:
        alone = {(one.rule, subject) for one in report_of(name).findings for subject in one.subjects}
        for rule, subject in expected(name):
            count += 1
            found = [one for one in _match(report, rule, subject) if one.signal is not Signal.NOTICE]
            if not found:
                absent.append(f"{' + '.join(pair)}: {rule} {subject}")
            elif all(one.explained_by for one in found):
                roots = [root for one in found for root in one.explained_by]
                if not any((root.rule, who) in alone for root in roots for who in root.subjects):
                    folded.append(f"{' + '.join(pair)}: {rule} {subject} under {[root.rule for root in roots]}")
    return count, folded, absent


#: Pairs in which a finding is absent or folded under the other mistake, with the physics that makes it so.
_NO_SOUND_STOP = "this stop fails without any fault, and no fault takes away what is not there"
_DEAD = "no supply is live, so that nothing starts again and no fault of the stop shows"
EXPLAINED = {
    "drive-fed-backwards + rail-that-rises-without-load: drive-voltage-outside-window D2": (
        "what lies at the supply terminals of a drive that is fed backwards is no supply, whatever its voltage"
    ),
    "feed-of-the-limits-missing + sensor-without-its-output: circuit-never-closed A1 under ['terminal-open']": (
        "the open output of the sensor lies on the way of the same inputs, and either opens it"
    ),
    "reset-that-a-stuck-button-makes + supply-for-another-mains: stop-fault-dangerous S3": _DEAD,
    "coil-ahead-of-the-stop-relay + reset-that-a-stuck-button-makes: stop-fault-dangerous S3": _NO_SOUND_STOP,
    "coil-ahead-of-the-stop-relay + reset-without-a-button: stop-restarts-on-release emergency": _NO_SOUND_STOP,
    "mirror-contact-left-out + mushroom-that-closes: stop-feedback-missing K1": _NO_SOUND_STOP,
}


@pytest.mark.parametrize("pair", drawn(), ids=" + ".join)
def test_neither_mistake_hides_the_other(pair: tuple[str, str]) -> None:
    _, folded, absent = lost(pair)
    assert [one for one in (*folded, *absent) if one not in EXPLAINED] == []
