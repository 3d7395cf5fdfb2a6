"""The picture of what is left: read back from the SVG, its lengths are the shares that the figures give."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest

from wiring.changes.outcome import open_plan, outcome_of
from wiring.changes.room import Room, Rooms, room
from wiring.documents.room_plot import room_plot
from wiring.drawing.shapes import text_width

SPECS = Path(__file__).parents[2] / "specs"
SVG = "{http://www.w3.org/2000/svg}"
BENCH = """\
format: 1
machine: Test bench
rulebook: iec
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A}
  E1: {kind: load, rated: 24 V DC 48 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 10 mm2, length: 0.1 m}
  - {wire: 2, from: G1:V-, to: E1:2, size: 10 mm2, length: 0.1 m}
"""


@cache
def bench():
    return outcome_of(BENCH, "plan", Path())


def groups(svg: str, kind: str = "room"):
    root = ElementTree.fromstring(svg)
    return {group.get("data-id"): group for group in root.iter(f"{SVG}g") if group.get("class") == kind}


def widths(group) -> list[float]:
    found = []
    for box in group.iter(f"{SVG}polygon"):
        xs = [float(point.split(",")[0]) for point in box.get("points").split()]
        found.append(max(xs) - min(xs))
    return found


def words(group) -> str:
    return " ".join(text.text for text in group.iter(f"{SVG}text"))


def drawn(**figures):
    row = Room("supply", "G1", "here", **figures)
    return groups(room_plot(Rooms(bench(), (row,), (), ())))["G1"]


def test_lengths_are_shares_of_what_it_bears():
    # 25 W on the average and 50 W at most of 50 W + 150 W: an eighth and a quarter of the whole bar
    group = drawn(used_w=50.0, average_w=25.0, peak_w=100.0, watts=150.0, limit="words")
    used, average, whole = widths(group)
    assert average == pytest.approx(whole / 8, abs=0.02)
    assert used == pytest.approx(whole / 4, abs=0.02)
    (tick,) = group.iter(f"{SVG}polyline")
    left = min(float(p.split(",")[0]) for p in next(group.iter(f"{SVG}polygon")).get("points").split())
    assert float(tick.get("points").split(",")[0]) - left == pytest.approx(whole / 2, abs=0.02)
    assert "50 W at most, average 25 W, peak 100 W" in words(group)
    assert "150 W more; then words" in words(group)


def test_no_limit_is_told_and_not_drawn():
    group = drawn(used_w=50.0, average_w=50.0, peak_w=None, watts=None, limit="")
    assert widths(group) == []
    assert "no limit met" in words(group)


def test_a_peak_beyond_the_limit_points_on():
    group = drawn(used_w=50.0, average_w=50.0, peak_w=400.0, watts=50.0, limit="words")
    assert len(list(group.iter(f"{SVG}polyline"))) == 2


@pytest.mark.parametrize("plan", ["bench-press-feeder"])
def test_every_supply_and_feed_is_drawn_within_the_sheet(plan):
    found = room(open_plan(SPECS / f"{plan}.yaml"))
    svg = room_plot(found)
    assert set(groups(svg)) == {row.name for row in (*found.supplies, *found.feeds)}
    root = ElementTree.fromstring(svg)
    wide, high = (float(root.get(name).removesuffix("mm")) for name in ("width", "height"))
    for text in root.iter(f"{SVG}text"):
        right = float(text.get("x")) + text_width(text.text, float(text.get("font-size")))
        assert right <= wide
        assert float(text.get("y")) <= high
    assert svg == room_plot(found)
