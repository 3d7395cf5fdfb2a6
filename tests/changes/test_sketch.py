"""What a search takes for granted: rules of form read no solved figure, a sketch has the sizes of the plan itself."""

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
SOLVED = ("states", "averages", "peaks", "supplies", "conductors", "drops", "inside")


@pytest.mark.parametrize("plan", PLANS)
def test_rules_of_form_read_no_solved_figure(plan):
    design = open_plan(SPECS / f"{plan}.yaml").design
    judged(design, OF_FORM)
    assert not set(SOLVED) & set(vars(design))


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
