"""Plans with one mistake each: the check finds it where it stands, and cries over nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest
from marked_plans import findings, marks, read

FOLDER = Path(__file__).parents[2] / "specs" / "faulty"
PLANS = sorted(FOLDER.glob("*.yaml"))
#: The rules whose mistakes these plans hold.
COVERED = {
    "supply-overloaded",
    "supply-headroom-small",
    "supply-peak-exceeded",
    "conductor-overloaded",
    "conductor-unprotected",
    "protection-above-conductor",
    "earth-missing",
    "earth-conductor-switched",
    "protective-conductor-too-small",
    "stop-leaves-hazard",
}


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_the_mistake_is_found_and_nothing_else_above_notice(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert findings(read(text)) == marks(text)


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_the_plan_is_a_whole_little_machine_with_one_mistake(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    design = read(text)
    assert len(marks(text)) == 1
    assert 10 <= len(design.parts) <= 28
    assert design.plan.stops
    assert design.plan.mains is not None


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_the_head_says_what_is_wrong_and_what_it_does_to_people(path: Path) -> None:
    head = path.read_text(encoding="utf-8").splitlines()[:3]
    assert head[0].startswith("# Wrong: ")
    assert head[1].startswith("# What it does: ")


def test_every_rule_and_both_rulebooks_are_covered() -> None:
    texts = [path.read_text(encoding="utf-8") for path in PLANS]
    assert len(texts) >= 18
    assert {slug for text in texts for _, slug in marks(text)} == COVERED
    assert {read(text).plan.rulebook for text in texts} == {"iec", "na"}


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_nothing_the_mark_speaks_of_is_left_unjudged_for_want_of_data(path: Path) -> None:
    """A plan that omits data would pass for the wrong reason."""
    design = read(path.read_text(encoding="utf-8"))
    unsized = [c.id for c in design.circuit.conductors if c.size is None and c.kind != "shield"]
    unlong = [c.id for c in design.circuit.conductors if c.length_m is None]
    assert (unsized, unlong) == ([], [])
