"""What a search takes for granted: a sketch has the sizes of the plan itself, and what it says of form holds."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.changes.outcome import judged, open_plan
from wiring.changes.sketch import sketch
from wiring.changes.steps import items
from wiring.changes.tried import OF_FORM
from wiring.design.design import Design

SPECS = Path(__file__).parents[2] / "specs"
PLANS = ["foam-gantry", "coil-winder", "stone-engraver", "bench-press-feeder"]


def said(design, ids) -> set[tuple[str, frozenset[str]]]:
    found = judged(design, (*OF_FORM, "conductor-overloaded")).findings
    return {(one.rule, frozenset(one.subjects)) for one in found if not set(one.subjects).isdisjoint(ids)}


@pytest.mark.parametrize("plan", ["coil-winder", "bench-press-feeder"])
def test_what_a_sketch_says_of_the_form_holds_for_the_solved_plan(plan):
    base = open_plan(SPECS / f"{plan}.yaml")
    tried = 0
    for item in items(base.design):
        if item.sort == "conductor" and item.now:
            stage = item.stages[0]
            drawn, solved = sketch(base.design, item, stage), base.changed(stage.edits).design
            assert said(drawn, item.subjects) == said(solved, item.subjects), item.name
            tried += bool(said(drawn, item.subjects))
    assert tried > 3


@pytest.mark.parametrize("plan", PLANS)
def test_a_sketch_has_the_parts_and_sizes_of_the_plan_that_is_written(plan):
    base = open_plan(SPECS / f"{plan}.yaml")
    for item in items(base.design):
        stage = item.stages[item.now - 1] if item.now else item.stages[-1]
        drawn, written = sketch(base.design, item, stage), base.changed(stage.edits).design
        assert isinstance(drawn, Design)
        assert _sizes(drawn) == _sizes(written), item.name
        assert {name: part.elements for name, part in drawn.parts.items()} == {
            name: part.elements for name, part in written.parts.items()
        }, item.name
        assert drawn.plan.enclosure == written.plan.enclosure


def _sizes(design):
    return {one.id: one.size.area_mm2 if one.size else None for one in design.circuit.conductors}
