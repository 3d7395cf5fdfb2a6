"""The cabinet among the sizes that are suggested: the least usual one that the layout finds room in."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.cabinet.box import usual_boxes_for
from wiring.cabinet.layout import lay_out
from wiring.cabinet.records import Layout
from wiring.changes.outcome import outcome_of
from wiring.changes.suggest import suggest
from wiring.plan.records import Box
from wiring.sizing.cabinet_ladder import cabinet_asked, cabinet_ladder

SPECS = Path(__file__).parents[2] / "specs"


def spec(name: str, old: str = "", new: str = "") -> str:
    """The text of a spec, with one thing changed."""
    text = (SPECS / f"{name}.yaml").read_text(encoding="utf-8")
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(
    ("name", "size", "small"),
    [
        ("coil-winder", "600 x 760 x 210 mm", "500 x 500 x 210 mm"),
        ("bench-press-feeder", "24 x 36 x 10 in", "16 x 20 x 8 in"),
    ],
)
def test_the_least_cabinet_that_holds_the_parts_is_asked(name: str, size: str, small: str) -> None:
    """No usual cabinet before it in the ladder holds them, by the layout itself."""
    base = outcome_of(spec(name, size, small), f"{name}.yaml", SPECS).design
    [asked] = cabinet_asked(base)
    [ladder] = cabinet_ladder(base)
    assert ladder.present.words == small
    assert ladder.steps[int(asked.least)].words == size
    for box in usual_boxes_for(base.plan)[: int(asked.least) - 1]:
        found = lay_out(base.circuit, box)
        assert not isinstance(found, Layout) or found.unplaced


def test_a_cabinet_that_holds_its_parts_is_left_alone() -> None:
    base = outcome_of(spec("coil-winder"), "coil-winder.yaml", SPECS)
    assert cabinet_asked(base.design) == ()


def test_the_suggestion_writes_the_size() -> None:
    base = outcome_of(spec("coil-winder", "600 x 760 x 210 mm", "500 x 500 x 210 mm"), "coil-winder.yaml", SPECS)
    found = suggest(base, 0.2)
    [row] = [one for one in found.rows if one.sort == "cabinet"]
    assert (row.before, row.after) == ("500 x 500 x 210 mm", "600 x 760 x 210 mm")
    enclosure = found.result.design.plan.enclosure
    assert enclosure is not None
    assert enclosure.size == Box(0.6, 0.76, 0.21)
    assert found.clear


def test_every_usual_cabinet_is_written_as_it_is_read() -> None:
    for book in ("iec", "na"):
        plan = outcome_of(f"format: 1\nmachine: a\nrulebook: {book}\nparts: {{}}\n", "plan.yaml", SPECS).design.plan
        for box in usual_boxes_for(plan):
            read = Box.read(box.words(book))
            assert (read.width, read.height, read.depth) == pytest.approx(
                (box.width / 1000, box.height / 1000, box.depth / 1000)
            )
