"""The ways to clear what an addition brings: each is tried again by all rules, apart from the search."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.changes.addition import add_motor
from wiring.findings import Signal
from wiring.rules.run import judge

SPECS = Path(__file__).parents[2] / "specs"


def serious(design) -> set[str]:
    return {str((f.rule, f.subjects)) for f in judge(design).standing if f.signal.rank <= Signal.CAUTION.rank}


@pytest.fixture(scope="module")
def feeder():
    return add_motor(SPECS / "bench-press-feeder.yaml", "M1", count=2)


def test_the_feeder_takes_no_two_axes_more_at_once(feeder):
    # four axes at 49.4 W, 44.5 W, 49.4 W, 49.4 W of 10 A at 24 V: 193 W of 240 W leave 19.6 %
    load = next(f for f in feeder.comparison.figures if (f.section, f.subject, f.state) == ("supply", "G1", "fast"))
    assert 1.0 - load.after / load.limit == pytest.approx(0.196, abs=0.015)
    # the headroom is not told beside a peak that the supply cannot carry
    assert {finding.rule for finding in feeder.comparison.new} == {"supply-peak-exceeded"}


def test_every_way_that_clears_is_clear_and_ranked(feeder):
    clearing = [mend for mend in feeder.mends if mend.clears]
    assert clearing
    for mend in clearing:
        assert serious(mend.outcome.design) == set()
    assert [len(mend.words) for mend in clearing] == sorted(len(mend.words) for mend in clearing)


def test_staggered_moves_are_the_least_change(feeder):
    assert feeder.mends[0].words == ("staggered moves: M3, M4 hold still in state fast",)


def test_there_is_a_way_that_asks_nothing_of_the_program(feeder):
    assert any(mend.clears and not mend.staggered for mend in feeder.mends)


def test_what_a_supply_of_its_own_asks_for_comes_with_it():
    change = add_motor(SPECS / "coil-winder.yaml", "M1")
    mend = next(mend for mend in change.mends if mend.words[0] == "a supply of its own like G1: G3")
    assert serious(mend.outcome.design) == set()
    # of the states in which M3 would move none is left where it may move
    assert not mend.staggered


def test_several_axes_share_the_supply_of_their_own():
    change = add_motor(SPECS / "foam-gantry.yaml", "M2", count=4)
    second = next(mend for mend in change.mends if mend.words == ("a supply of its own like G1: G5",))
    rails = second.outcome.design.roles.rails
    assert {rail.source for drive in ("D5", "D6", "D7", "D8") for rail in rails[drive, "V+"]} == {"G5"}
    assert serious(second.outcome.design) == set()


def test_nothing_new_asks_for_nothing():
    change = add_motor(SPECS / "foam-gantry.yaml", "M1")
    assert (change.comparison.new, change.mends) == ((), ())


def test_no_free_channel_is_a_finding_and_not_nothing():
    change = add_motor(SPECS / "foam-gantry.yaml", "M1")
    (found,) = change.new
    assert (found.rule, found.signal) == ("no-free-channel", Signal.CAUTION)
    assert found.summary == "A1 has no free channel for D5:STEP+, D5:DIR+, D5:ENA+"
