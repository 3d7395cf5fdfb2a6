"""The plans of the diary: the first cannot be read, the last is clear, each in the lines that the diary says."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.design.load import load
from wiring.findings import Verdict
from wiring.reports import render
from wiring.rules.run import judge, rule_texts

DIARY = Path(__file__).parent / "diary"
#: Lines of `check` that fit a screen.
SCREEN = 60


@pytest.mark.parametrize("name", ["shaker", "winder", "mill", "candles"])
def test_a_plan_from_nothing_became_clear(name: str) -> None:
    first = load(DIARY / f"{name}-first.yaml")
    assert first.design is None
    assert all(fault.expected for fault in first.faults)
    last = load(DIARY / f"{name}-clear.yaml")
    assert last.design is not None
    report = judge(last.design)
    assert report.verdict is Verdict.CLEAR
    assert len(render(report, {}, "text", width=80, rules=rule_texts(report)).splitlines()) <= SCREEN
