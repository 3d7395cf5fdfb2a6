"""What the engine reads of the rules, by hand from the standards; and that a rule and its inverse agree at the edge."""

from __future__ import annotations

import re
from math import floor, log10
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiring.changes.addition import add_motor, change_plan
from wiring.changes.outcome import open_plan, outcome_of
from wiring.changes.suggest import suggest
from wiring.plan.fault import Refusal
from wiring.requirement import Quantity
from wiring.rulebooks.steps import SUPPLY_A, first_at_least, last_at_most, rated_current, rounded_down, rounded_up
from wiring.rules.run import judge
from wiring.sizing.asked import requirements
from wiring.sizing.engine import settle
from wiring.sizing.mends import with_mends
from wiring.sizing.records import Wish
from wiring.sizing.written import size_words

SPECS = Path(__file__).parents[2] / "specs"
BENCH = """\
format: 1
machine: Test bench
rulebook: iec
site: {{ambient: 30 °C}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: {supply} A,
       derating: {{from: 50 °C, slope: 2.5 %/K}}{more}}}
  F1: {{kind: fuse, rating: 6 A, class: gG}}
  E1: {{kind: load, rated: 24 V DC {watts} W}}
wires:
  - {{wire: 1, from: G1:V+, to: F1:1, size: 10 mm2, insulation: pvc-70, length: 0.1 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 10 mm2, insulation: pvc-70, length: 0.1 m}}
  - {{wire: 3, from: G1:V-, to: E1:2, size: 10 mm2, insulation: pvc-70, length: 0.1 m}}
"""


def bench(supply: float = 10, watts: float = 48, more: str = ""):
    return outcome_of(BENCH.format(supply=supply, watts=watts, more=more), "plan", Path())


def least(design, rule: str, item: str) -> float:
    return max(ask.least for ask in requirements(design, 0.2) if (ask.rule, ask.item) == (rule, item))


def test_a_supply_by_hand() -> None:
    """48 W at 24 V are 2 A; a fifth kept free (common practice): 2 A / 0.8 = 2.5 A, and a little for the drop."""
    design = bench().design
    assert least(design, "supply-overloaded", "G1") == pytest.approx(2.0, rel=0.01)
    assert least(design, "supply-headroom-small", "G1") == pytest.approx(2.5, rel=0.01)


def test_a_conductor_behind_a_fuse_by_hand() -> None:
    """6 A gG passes 1.9 * 6 A = 11.4 A for ever (IEC 60269-1, table 2), 7.86 A by 1.45 (IEC 60364-4-43, 433.1).

    0.75 mm2 carries 10.4 A in the open (E), the pairs of 0.5 mm2 less than 6 A (IEC 60204-1:2016, table 6, D.2).
    """
    asks = [ask for ask in requirements(bench().design, 0.2) if ask.rule == "protection-above-conductor"]
    assert {ask.least for ask in asks if ask.item == "2"} == {0.75}


@pytest.mark.parametrize("supply", [2.4, 2.6])
def test_the_rule_speaks_exactly_below_its_requirement(supply: float) -> None:
    design = bench(supply).design
    fires = any(one.rule == "supply-headroom-small" for one in judge(design).findings)
    assert fires is (supply < least(design, "supply-headroom-small", "G1"))


def test_a_part_that_is_bought_stays() -> None:
    assert "G1: 3 A in place of 10 A" in size_words(settle(bench().design, Wish(0.2, anew=True)))
    found = settle(bench(more=", bought: true").design, Wish(0.2, anew=True))
    assert not any(words.startswith("G1") for words in size_words(found))


@pytest.mark.parametrize(
    ("own", "prices", "taken"),
    [
        ("25 EUR", "", "s5"),  # 3 A would do for 2.5 A and costs more
        ("25 EUR", "prices: {s5: 41 EUR}", "s3"),  # what the plan says goes before its library
        ("25 USD", "", "s3"),  # amounts in two currencies cannot be compared
        ("25 EUR", "prices: {s3: 24 EUR, supply-24v-2.5a: 1 EUR}", "s3"),  # 2.5 A keep no fifth of it free
    ],
)
def test_the_cheapest_part_that_passes_is_taken(tmp_path: Path, own: str, prices: str, taken: str) -> None:
    part = "kind: supply, input: 230 V AC, output: 24 V DC, rated: {} A, price: {}, standing: typical, source: own"
    rows = [f"s{amps}: {{{part.format(amps, price)}}}" for amps, price in ((3, "40 EUR"), (5, own), (12, "60 EUR"))]
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "own.yaml").write_text("\n".join(rows) + "\n", encoding="utf-8")
    text = BENCH.format(supply=10, watts=48, more="")
    lines = [line for line in text.splitlines() if not line.strip().startswith("derating")]
    text = "\n".join("  G1: {use: s12}" if line.startswith("  G1:") else line for line in lines)
    text = text.replace("parts:\n", f"library: [parts/]\n{prices}\nparts:\n", 1)
    words = size_words(settle(outcome_of(text, "plan", tmp_path).design, Wish(0.2, anew=True)))
    assert f"G1: {taken} in place of s12" in words


def test_steps_are_searched_both_ways() -> None:
    assert (first_at_least((1.0, 2.0, 4.0), 2.0), first_at_least((1.0, 2.0), 2.1)) == (2.0, None)
    assert (last_at_most((1.0, 2.0, 4.0), 3.9), last_at_most((1.0, 2.0), 0.9)) == (2.0, None)


@pytest.mark.parametrize(
    ("least", "rated"), [(6.002, 6.3), (6.3, 6.3), (0.11, 0.125), (31.6, 40.0), (9.99, 10.0), (1, 1)]
)
def test_rated_currents_are_those_of_the_standard(least: float, rated: float) -> None:
    """IEC 60059 (from memory), which is the series R10 of ISO 3: 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8."""
    assert rated_current(least) == pytest.approx(rated)


@given(st.floats(1e-6, 1e6), st.integers(1, 4))
def test_what_is_printed_of_a_bound_keeps_it(value: float, digits: int) -> None:
    up, down = rounded_up(value, digits), rounded_down(value, digits)
    assert float(f"{up:.{digits}g}") >= value * (1 - 1e-6)
    assert float(f"{down:.{digits}g}") <= value * (1 + 1e-6)
    assert up - down <= 10.0 ** (floor(log10(value) + 1e-6) + 1 - digits) * (1 + 1e-6)


def test_three_more_spindles_ask_for_supply_trunk_and_terminals() -> None:
    """10.6 A and a fifth at 57 °C less 17.5 % ask for 16 A at work, 34.4 A / 1.2 = 28.7 A at the peak: 30 A is sold."""
    ways = add_motor(SPECS / "coil-winder.yaml", "M1", count=3).mends
    assert ways[0].clears
    assert any("G1: 30 A in place of 9.7 A" in words for words in ways[0].words)
    assert all(any(name in words for words in ways[0].words) for name in ("200", "203", "X3"))


def test_what_the_building_gives_caps_a_breaker() -> None:
    """16 A of the building stand in front: no larger breaker is proposed, and the load is told to be too much."""
    text = (SPECS / "coil-winder.yaml").read_text(encoding="utf-8")
    text = text.replace("inrush: 20 A", "inrush: 120 A")
    found = suggest(outcome_of(text, "plan", SPECS), 0.2)
    row = next(row for row in found.rows if row.name == "F1")
    assert row.after == ""
    assert "of the building, 10 A" in row.why


def test_one_part_alone() -> None:
    found = suggest(open_plan(SPECS / "foam-gantry.yaml"), 0.2, ["G1"])
    assert [row.name for row in found.rows if row.changed] == ["G1"]
    with pytest.raises(Refusal, match="no steps of size"):
        suggest(open_plan(SPECS / "foam-gantry.yaml"), 0.2, ["M1"])


def test_a_mend_is_applied_by_its_rule_and_part() -> None:
    plan = SPECS / "faulty" / "protection-above-conductor-dipper.yaml"
    told = change_plan(plan, [], mend=("protection-above-conductor", "F2"))
    assert [one.rule for one in told.comparison.gone] == ["protection-above-conductor"]
    assert told.outcome.design.parts["F2"].data.rating == 6.0  # the next below the 6.88 A that 0.75 mm2 allows there
    with pytest.raises(Refusal, match="no finding"):
        change_plan(plan, [], mend=("supply-overloaded", "G1"))


def test_the_mend_of_a_root_takes_the_largest_of_what_it_explains() -> None:
    """At work both axes take 3.2 A, and a fifth more is 4 A; at full torque 3.0 N·m at 600 rpm and 1.2 N·m at 300 rpm
    are 226 W at the shafts alone, 6.3 A of 36 V, of which 1.2 times the rating bear 5.2 A: 5 A are none."""
    text = (SPECS / "coil-winder.yaml").read_text(encoding="utf-8").replace("rated: 9.7 A", "rated: 3 A")
    design = outcome_of(text, "plan", SPECS).design
    report = judge(design)
    [root] = [one for one in report.roots if "G1" in one.subjects]
    own = max(ask.least for mend in root.mends for ask in mend.asks)
    assert (root.rule, first_at_least(SUPPLY_A, own)) == ("supply-overloaded", 5.0)
    assert "supply-peak-exceeded" in {one.rule for one in report.effects_of(root)}
    [made] = [one.mends[0] for one in with_mends(design, report, [root]).roots if one.rule == root.rule]
    amps = re.match(r"Make G1 ([\d.]+) A in place of 3 A", made.words)
    assert amps is not None, made.words
    assert float(amps[1]) > 226 / 36 / 1.2


@pytest.mark.parametrize("plan", ["coil-winder", "bench-press-feeder"])
def test_the_end_is_a_fixed_point_whatever_the_start(plan: str) -> None:
    """Sized once more from its own end nothing moves."""
    base = open_plan(SPECS / f"{plan}.yaml")
    first = suggest(base, 0.2)
    again = suggest(first.result, 0.2)
    assert [row for row in again.rows if row.changed] == []
    assert Quantity.RATING in {ladder.quantity for ladder in settle(base.design, Wish(0.2, anew=True)).moved}


def far_bench(metres: float):
    """2 A over two conductors, one of which begins at a fuse that takes 1 mm2 at most."""
    text = BENCH.format(supply=10, watts=48, more="").replace("class: gG}", "class: gG, sizes: 0.2..1.0 mm2}")
    text = text.replace("to: F1:1, size: 10 mm2", "to: F1:1, size: 1.0 mm2")
    for wire in ("F1:2, to: E1:1", "G1:V-, to: E1:2"):
        text = text.replace(f"{wire}, size: 10 mm2, insulation: pvc-70, length: 0.1 m", f"{wire}, {_far(metres)}")
    return outcome_of(text, "plan", Path())


def _far(metres: float) -> str:
    return f"size: 0.75 mm2, insulation: pvc-70, length: {metres} m"


def test_what_a_terminal_does_not_take_another_conductor_makes_up_for() -> None:
    """5 % of 24 V are 1.2 V. 2.1 A over 20 m of 1 mm2 (19.5 ohm/km at 20 °C, 23.3 at 70 °C, IEC 60228) lose 0.8 to 1 V.

    0.2 to 0.4 V are left for the way back, of 2.1 to 5 times that size; its fair half alone would ask for 1.7 mm2.
    """
    found = suggest(far_bench(20), 0.2)
    after = {row.name: row.after for row in found.rows}
    assert after["2"] == "1.0 mm2"
    assert after["3"] in ("2.5 mm2", "4 mm2")
    assert found.clear


def test_where_no_other_makes_up_for_it_the_one_is_told_and_others_only_feed_the_load() -> None:
    """60 m of 1 mm2 alone lose 2.1 V or more of the 1.2 V.

    48 W at 24 V pass no more than 24^2 / 4 / 48 = 3 ohm. 120 m of 0.75 mm2 have 3.12 to 3.73 ohm at 20 and 70 °C, those
    of 1 mm2 2.34 to 2.80 ohm (IEC 60228, class 5, table 3; factor 304.5/254.5 from memory).
    """
    base = far_bench(60)
    assert [one.rule for one in judge(base.design).roots] == ["network-undecided"]
    rows = {row.name: row for row in suggest(base, 0.2).rows}
    assert rows["2"].after == ""
    assert "at most 1 mm2 (F1:2 takes 0.2 to 1 mm2)" in rows["2"].why
    assert rows["3"].after == "1.0 mm2"


def test_a_coil_at_the_end_of_a_long_way_asks_for_thicker_conductors() -> None:
    """A coil of 24 V and 24 W is 24 ohm and attracts from 85 %: at most 3.6 of 24 V are lost, 0.176 times 24 ohm: 4.24.

    2 x 150 m of 0.75 mm2 are 7.8 to 9.3 ohm; 4.24 ohm are 1.4 to 1.7 mm2 (IEC 60228, class 5; 85 % by IEC 60947-4-1).
    """
    text = BENCH.format(supply=10, watts=48, more="").replace(
        "kind: load, rated: 24 V DC 48 W", "kind: relay, coil: 24 V DC 24 W"
    )
    text = text.replace("E1:1", "E1:A1").replace("E1:2", "E1:A2")
    for wire in ("F1:2, to: E1:A1", "G1:V-, to: E1:A2"):
        text = text.replace(f"{wire}, size: 10 mm2, insulation: pvc-70, length: 0.1 m", f"{wire}, {_far(150)}")
    design = outcome_of(text, "plan", Path()).design
    assert 1.4 <= least(design, "load-undervoltage", "2") <= 1.75
