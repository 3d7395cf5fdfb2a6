"""What is left is what adding comes to: the first finding is met there, by the way of adding itself."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from wiring.changes.addition import add_motor
from wiring.changes.outcome import open_plan, outcome_of
from wiring.changes.room import room
from wiring.findings import Signal
from wiring.rules.run import judge

SPECS = Path(__file__).parents[2] / "specs"
BENCH = """\
format: 1
machine: Test bench
rulebook: iec
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A}}
  F1: {{kind: fuse, rating: {fuse} A, class: gG}}
  E1: {{kind: load, rated: 24 V DC 48 W}}
wires:
  - {{wire: 1, from: G1:V+, to: F1:1, size: 10 mm2, insulation: pvc-70, length: 0.1 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 10 mm2, insulation: pvc-70, length: 0.1 m}}
  - {{wire: 3, from: G1:V-, to: E1:2, size: 10 mm2, insulation: pvc-70, length: 0.1 m}}
"""


@cache
def rooms(plan: str):
    return room(open_plan(SPECS / f"{plan}.yaml"))


def test_a_supply_by_hand():
    # 10 A with a fifth kept free is 8 A; 2 A are taken; 6 A at 24 V are 144 W, the drop takes less than 2 %
    found = room(outcome_of(BENCH.format(fuse=10), "plan", Path()))
    (supply,) = found.supplies
    assert supply.watts == pytest.approx(144.0, rel=0.025)
    assert supply.limit.startswith("supply-headroom-small: G1")


def test_a_feed_by_hand():
    # a fuse of 4 A that carries 2 A: 2 A more at 24 V are 48 W, and the supply with 8 A is not the limit
    found = room(outcome_of(BENCH.format(fuse=4), "plan", Path()))
    (feed,) = found.feeds
    assert feed.watts == pytest.approx(48.0, rel=0.03)
    assert "F1 carries" in feed.limit


@pytest.mark.parametrize("plan", ["bench-press-feeder", "coil-winder"])
def test_axes_left_agree_with_adding_them(plan):
    for row in rooms(plan).axes:
        if row.limit and row.count < 4:
            path = SPECS / f"{plan}.yaml"
            if row.count:
                assert add_motor(path, row.motor, count=row.count).comparison.new == ()
            over = add_motor(path, row.motor, count=row.count + 1).comparison.new
            assert row.limit.split(":")[0] in {finding.rule for finding in over}


def _with_load(text: str, plus: str, minus: str, volts: str, watts: float) -> str:
    """The plan with one more load, written as a person would."""
    lines = text.splitlines()
    at = lines.index("parts:")
    lines.insert(at + 1, f"  ZZ1: {{kind: load, at: machine, rated: {volts} {watts:.2f} W}}")
    at = lines.index("wires:")
    lines.insert(at + 1, f"  - {{wire: ZZ2, from: '{plus}', to: 'ZZ1:1', length: 0.1 m}}")
    lines.insert(at + 2, f"  - {{wire: ZZ3, from: '{minus}', to: 'ZZ1:2', length: 0.1 m}}")
    return "\n".join(lines) + "\n"


def _serious(text: str) -> set[str]:
    report = judge(outcome_of(text, "plan", SPECS).design)
    mine = {"ZZ1", "ZZ2", "ZZ3"}
    return {f.rule for f in report.standing if f.signal.rank <= Signal.CAUTION.rank and not set(f.subjects) <= mine}


@pytest.mark.parametrize(("plan", "volts"), [("bench-press-feeder", "24 V DC"), ("coil-winder", "36 V DC")])
def test_watts_left_at_a_supply_agree_with_a_load_in_the_plan(plan, volts):
    row = next(row for row in rooms(plan).supplies if row.name == "G1")
    text = (SPECS / f"{plan}.yaml").read_text(encoding="utf-8")
    base = _serious(_with_load(text, "G1:V+", "G1:V-", volts, 0.01))
    assert _serious(_with_load(text, "G1:V+", "G1:V-", volts, 0.985 * row.watts)) == base
    assert _serious(_with_load(text, "G1:V+", "G1:V-", volts, 1.03 * row.watts)) - base


def test_every_supply_and_feed_in_use_is_told():
    found = rooms("bench-press-feeder")
    assert [row.name for row in found.supplies] == ["G1", "G2"]
    assert {row.name for row in found.feeds} == {"F1", "F2", "F3", "F4", "F5"}
    assert all(row.watts is not None and row.watts >= 0.0 and row.limit for row in (*found.supplies, *found.feeds))
