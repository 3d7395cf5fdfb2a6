"""What is left is what adding comes to: the first finding is met there, by the way of adding itself."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from wiring.changes.add_axes import add_axes
from wiring.changes.addition import add_motor
from wiring.changes.axis import find_axis, parts_of
from wiring.changes.compare import compare
from wiring.changes.outcome import Outcome, judged, open_plan, outcome_of
from wiring.changes.room import room
from wiring.changes.room_axes import AxisRoom, axis_rooms
from wiring.changes.taps import feed_taps, supply_taps
from wiring.changes.trial import Trials
from wiring.changes.wanted import Wanted
from wiring.findings import Signal
from wiring.rules import OF_LOADS
from wiring.rules.run import judge
from wiring.sizing.engine import settle
from wiring.sizing.records import Wish
from wiring.sizing.written import size_edits

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


def _with_channels(plan: str) -> Outcome:
    """The plan with a card that has a free channel of each sort for six axes more."""
    text = (SPECS / f"{plan}.yaml").read_text(encoding="utf-8")
    more = ", ".join(f"{letter}{n}: push-pull 5 V" for n in range(3, 9) for letter in "PRE")
    assert text.count("outputs: {") == 1
    return outcome_of(text.replace("outputs: {", f"outputs: {{{more}, "), plan, SPECS)


def _new_with(base: Outcome, motor: str, count: int) -> tuple[set[str], set[str]]:
    """The rules that speak anew with so many axes more, and those of what finds no place."""
    addition = add_axes(base.design, parts_of(base.design, find_axis(base.design, motor)), count, Wanted())
    after = replace(base.changed(addition.edits), slugs=base.slugs)
    return {finding.rule for finding in compare(base, after).new}, {finding.rule for finding in addition.missing}


def _agrees(base: Outcome, row: AxisRoom) -> None:
    borne, then = (row.count, row.limit) if row.borne is None else (row.borne, row.then)
    if row.count:
        assert _new_with(base, row.motor, row.count) == (set(), set())
    if borne:
        assert _new_with(base, row.motor, borne)[0] == set()
    if row.limit:
        assert row.limit.split(":")[0] in set.union(*_new_with(base, row.motor, row.count + 1))
    if then:
        assert then.split(":")[0] in _new_with(base, row.motor, borne + 1)[0]


@pytest.mark.parametrize("plan", ["bench-press-feeder", "coil-winder", "stone-engraver"])
def test_axes_left_agree_with_adding_them(plan):
    base = replace(open_plan(SPECS / f"{plan}.yaml"), slugs=OF_LOADS)
    rows = axis_rooms(base)
    for row in rows:
        _agrees(base, row)
    if plan == "stone-engraver":
        # a lift with a brake: the contact that feeds the brake takes two conductors, and a second copy's is the third
        assert [row.then.split(":")[0] for row in rows if row.motor == "M3"] == ["terminal-overfilled"]


def test_axes_left_agree_with_the_command():
    for row in rooms("coil-winder").axes:
        over = add_motor(SPECS / "coil-winder.yaml", row.motor, count=row.count + 1).new
        assert row.limit.split(":")[0] in {finding.rule for finding in over}


def test_axes_that_find_channels_and_sizes_are_held_against_stops_too():
    """The winder at the sizes that two spindles more ask for takes those two."""
    base = _with_channels("coil-winder")
    two = base.changed(add_axes(base.design, parts_of(base.design, find_axis(base.design, "M1")), 2, Wanted()).edits)
    wires = {wire.wire for wire in base.design.plan.wires}
    sizes = [
        edit for edit in size_edits(settle(two.design, Wish(0.2))) if edit.path[0] != "wires" or edit.path[1] in wires
    ]
    roomy = base.changed(sizes)
    rows = axis_rooms(roomy)
    assert rows[0].borne is None, "its sizes end the spindle's room, not the channels"
    assert rows[0].count == 2
    for row in rows:
        _agrees(roomy, row)


def test_what_no_load_changes_is_told_the_same_under_any_load():
    base = open_plan(SPECS / "coil-winder.yaml")
    trials = Trials(base, [*supply_taps(base.design), *feed_taps(base.design)])
    still = [slug for slug in OF_LOADS if slug not in trials.moving]
    unladen, laden = judged(trials.design, still), judged(trials.laden(0, 500.0), still)
    assert trials.fault(trials.laden(0, 500.0))
    assert [str(one) for one in laden.findings] == [str(one) for one in unladen.findings]
    assert laden.not_judged == unladen.not_judged


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
