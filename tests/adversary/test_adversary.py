"""Mistakes by the taxonomy stay told: a finding above NOTICE that the unbroken plan does not have, about what they
touch.

A run judges one mistake of one list, drawn by the hash of the lists, `WIRING_ADVERSARY=all` all of them. That a
finding is to the purpose is read by hand (README.md); `misses.yaml` holds those that are not told, with the reason.
"""

from __future__ import annotations

import os
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.judging.judge import edited, grave, judged, plan
from wiring.findings import Report

HERE = Path(__file__).parent
LISTS = {path.name: plan(str(path)) for path in sorted(HERE.glob("*-mistakes.yaml"))}
MISSES = yaml.safe_load((HERE / "misses.yaml").read_text("utf-8"))
KEYS = {"mistake", "of", "base", "set", "drop", "add", "at_least", "harm", "about", "why", "says"}


def cases() -> list[dict[str, Any]]:
    """One mistake that is told of one list, or all of them."""
    found = []
    every = os.environ.get("WIRING_ADVERSARY") == "all"
    drawn = max(LISTS, key=lambda name: sha256((HERE / name).read_bytes()).digest())
    for name, table in LISTS.items() if every else [(drawn, LISTS[drawn])]:
        [rows] = table.values()
        told = [row for row in rows if row["mistake"] not in MISSES]
        first = int.from_bytes(sha256((HERE / name).read_bytes()).digest()[:4]) % len(told)
        found += told if every else told[first : first + 1]
    return found


@cache
def unbroken(base: str) -> Report:
    """The report on a plan as it stands."""
    return judged(plan(str(HERE / base)))


@pytest.mark.parametrize("mistake", cases(), ids=lambda mistake: mistake["mistake"])
def test_the_mistake_is_told(mistake: dict[str, Any]) -> None:
    known = grave(unbroken(mistake["base"]))
    report = judged(edited(plan(str(HERE / mistake["base"])), mistake))
    fresh = [one for key, one in grave(report).items() if key not in known]
    assert report.crashed == ()
    assert any(set(mistake["about"]) & set(one.subjects) for one in fresh), [one.summary for one in fresh]


def test_the_lists_are_whole() -> None:
    names = [row["mistake"] for table in LISTS.values() for rows in table.values() for row in rows]
    assert len(set(names)) == len(names)
    assert set(MISSES) <= set(names)
    assert all(len(reason) > 20 for reason in MISSES.values())
    for table in LISTS.values():
        for rows in table.values():
            assert all(row.keys() <= KEYS and (HERE / row["base"]).is_file() for row in rows)
