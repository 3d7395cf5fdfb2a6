"""Layouts for the tests: of the specs, of random plans, and what is read back from a drawing of them."""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import networkx
from shapely.geometry import LineString, Point, box
from shapely.geometry.base import BaseGeometry

from tests.drawing.picture import read_picture
from tests.drawing.random_plans import random_design
from wiring.cabinet.layout import lay_out
from wiring.cabinet.records import Area, Layout, Placed
from wiring.cabinet.study import Study
from wiring.design.design import Design
from wiring.design.load import load
from wiring.documents.cabinet_files import views
from wiring.drawing.svg import svg_of

ROOT = Path(__file__).parents[2]
SPECS = sorted(path.stem for path in (ROOT / "specs").glob("*.yaml"))
RANDOM = range(int(os.environ.get("WIRING_RANDOM_CABINETS", "6")))


@cache
def spec(name: str) -> Design:
    """A spec, solved when it is asked."""
    found = load(ROOT / "specs" / f"{name}.yaml").design
    assert found is not None
    return found


@cache
def spec_study(name: str) -> Study:
    """The cabinet of a spec."""
    return Study(spec(name).circuit)


@cache
def random_study(seed: int) -> Study:
    """The cabinet of a random plan of 5 to 90 parts, which gives no size for it."""
    return Study(random_design(seed, 5 + seed * 37 % 86).circuit)


def layouts() -> Iterator[tuple[str, Study, Layout]]:
    """Every spec, and random plans in the smallest usual cabinet, where there is one."""
    for name in SPECS:
        found = spec_study(name).layout
        assert found is not None, f"{name} does not fit its cabinet"
        yield name, spec_study(name), found
    for seed in RANDOM:
        study = random_study(seed)
        if study.smallest is not None:
            found = lay_out(study.circuit, study.smallest)
            assert isinstance(found, Layout)
            yield f"random {seed}", study, found


def polygon(area: Area) -> BaseGeometry:
    """A rectangle for shapely."""
    return box(area.x, area.y, area.right, area.top)


def wanted(one: Placed) -> BaseGeometry:
    """A part with the free space above, below and beside it that it wants: no corner pieces."""
    area, outline = one.area, one.outline
    return polygon(area.widened(outline.sides, 0.0, 0.0)).union(
        polygon(area.widened(0.0, outline.above, outline.below))
    )


def drawn_ducts(layout: Layout, design: Design) -> dict[str, tuple[float, float, float, float, str]]:
    """The ducts of the drawing in mm: left, low, right, top from the corner of the plate, and how they run."""
    picture = read_picture(svg_of(views(layout, design.parts, design.plan)))
    plate = next(part for part in picture.parts if part.data.get("what") == "plate")
    x0, y0 = min(x for x, _ in plate.chains[0]), max(y for _, y in plate.chains[0])
    found = {}
    for part in picture.parts:
        if part.data.get("what") == "duct":
            scale = float(part.data["scale"])
            xs = [scale * (x - x0) for x, _ in part.chains[0]]
            ys = [scale * (y0 - y) for _, y in part.chains[0]]
            found[part.id] = (min(xs), min(ys), max(xs), max(ys), part.data["run"])
    return found


class DrawnNet:
    """The middle lines of drawn ducts as a networkx graph, joined where shapely says that ducts touch."""

    def __init__(self, ducts: dict[str, tuple[float, float, float, float, str]]) -> None:
        self.ducts = ducts
        self.graph: networkx.Graph[Any] = networkx.Graph()
        self.at: dict[str, set[float]] = {name: set() for name in ducts}
        shapes = {name: box(*one[:4]).buffer(0.3) for name, one in ducts.items()}
        for across, one in ducts.items():
            for up, two in ducts.items():
                if one[4] == "across" and two[4] == "up" and shapes[across].intersects(shapes[up]):
                    x, y = self.middle(up), self.middle(across)
                    self.at[across].add(x)
                    self.at[up].add(y)

    def middle(self, name: str) -> float:
        """Where the middle line of a duct lies."""
        left, low, right, top, run = self.ducts[name]
        return (low + top) / 2 if run == "across" else (left + right) / 2

    def spot(self, name: str, along: float) -> tuple[float, float]:
        """A point of a middle line, which becomes a node."""
        self.at[name].add(along)
        return (along, self.middle(name)) if self.ducts[name][4] == "across" else (self.middle(name), along)

    def shortest(self, one: tuple[float, float], two: tuple[float, float]) -> float:
        """Length of the shortest way between two nodes, by networkx."""
        graph: networkx.Graph[Any] = networkx.Graph()
        for name, places in self.at.items():
            nodes = [self.spot(name, place) for place in sorted(places)]
            for a, b in pairwise(nodes):
                graph.add_edge(_key(a), _key(b), weight=Point(a).distance(Point(b)))
        found: float = networkx.dijkstra_path_length(graph, _key(one), _key(two))
        return found

    def line(self, name: str) -> LineString:
        """The middle line of a duct."""
        left, low, right, top, run = self.ducts[name]
        middle = self.middle(name)
        return LineString([(left, middle), (right, middle)] if run == "across" else [(middle, low), (middle, top)])


def _key(point: tuple[float, float]) -> tuple[float, float]:
    return round(point[0], 1), round(point[1], 1)
