"""In harder places every suggestion is judged again by all rules: it brings nothing, and what is left is told."""

from __future__ import annotations

import os

import pytest
from plan_variants import PLANS, SPECS, VARIANTS, varied

from wiring.changes.outcome import outcome_of
from wiring.changes.suggest import suggest
from wiring.findings import Signal
from wiring.rules.run import judge
from wiring.sizing.engine import settle
from wiring.sizing.mends import with_mends
from wiring.sizing.records import Wish

WHOLE = os.environ.get("WIRING_VARIANTS") == "all"
SAMPLE = [("coil-winder", "50 °C"), ("bench-press-feeder", "x 15"), ("glue-robot", "x 15"), ("drum-sander", "120 A")]
CASES = [(plan, variant) for plan in PLANS for variant in VARIANTS] if WHOLE else SAMPLE


def serious(design) -> set[tuple[str, frozenset[str]]]:
    report = judge(design)
    assert report.crashed == ()
    return {(f.rule, frozenset(f.subjects)) for f in report.standing if f.signal.rank <= Signal.CAUTION.rank}


@pytest.mark.parametrize(("plan", "variant"), CASES)
def test_a_suggestion_brings_nothing_and_tells_what_is_left(plan, variant):
    base = outcome_of(varied(plan, variant), plan, SPECS)
    found = suggest(base, 0.2)
    left = serious(found.result.design)
    if left:
        before = serious(base.design)
        # what a load loses is told at its worst conductor, which may be another one then
        parts = base.design.parts.keys()
        assert all(
            any(rule == other and (names <= of or names & of & parts) for other, of in before) for rule, names in left
        ), left
    assert found.clear is (not left)
    if WHOLE:
        told = sum(not row.after for row in found.rows)
        print(f"{plan}, {variant}: {len(left)} left, {told} without a step")


@pytest.mark.parametrize(("plan", "variant"), CASES)
def test_the_search_ends_by_itself(plan, variant):
    """Sizes hardly move currents: the map is nearly a contraction, and a prototype took 9 rounds at most."""
    found = settle(outcome_of(varied(plan, variant), plan, SPECS).design, Wish(0.2, anew=True))
    assert found.rounds <= 9


def test_what_no_size_helps_is_told_once():
    """At 60 °C outside the cabinet is warmer than PVC of 70 °C bears with any load: one reason for all conductors."""
    found = suggest(outcome_of(varied("coil-winder", "60 °C"), "coil-winder", SPECS), 0.2)
    (row,) = [row for row in found.rows if row.sort == "conductor" and not row.after]
    assert row.name.startswith("100, 101,")
    assert row.why.startswith("no size of them is enough")
    # F5 cannot be smaller than nothing either: no wire in the cabinet climbs to the end of its ladder for that
    assert [row.name for row in found.rows if row.sort == "conductor" and row.changed] == ["C2", "C3", "C4"]


def test_a_mend_is_offered_beside_what_stands_for_another_reason():
    """The cable outside is a fault of its own, whatever is the matter in the hot cabinet."""
    design = outcome_of(varied("coil-winder", "60 °C"), "coil-winder", SPECS).design
    roots = {one.rule: one.mends for one in with_mends(design, judge(design)).roots}
    assert {"cabinet-too-hot", "conductor-overloaded"} <= roots.keys()
    assert roots["conductor-overloaded"][0].words == "Make C2 of 1.0 mm2 in place of 0.75 mm2."
    assert roots["conductor-overloaded"][0].edits
