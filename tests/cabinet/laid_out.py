"""Layouts for the tests: of the specs, of random plans, and what is read back from a drawing of them."""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cache, cached_property
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
        found = random_layout(seed)
        if found is not None:
            yield f"random {seed}", random_study(seed), found


@cache
def random_layout(seed: int) -> Layout | None:
    """A random plan in the smallest usual cabinet, None where there is none."""
    study = random_study(seed)
    if study.smallest is None:
        return None
    found = lay_out(study.circuit, study.smallest)
    assert isinstance(found, Layout)
    return found


def polygon(area: Area) -> BaseGeometry:
    """A rectangle for shapely."""
    return box(area.x, area.y, area.right, area.top)


def wanted(one: Placed) -> BaseGeometry:
    """A part with the free space above, below and beside it that it wants: no corner pieces."""
    area, outline = one.area, one.outline
    return polygon(area.widened(outline.sides, 0.0, 0.0)).union(
        polygon(area.widened(0.0, outline.above, outline.below))
    )


Span = tuple[float, float]


def solid_on_wall(layout: Layout, wall: str, area: Area, depth: float) -> tuple[Span, Span, Span]:
    """What a part on a wall takes, written down here anew: to the right, upwards, and out from the back wall."""
    width, height = layout.box.width, layout.box.height
    x, y = (area.x, area.right), (area.y, area.top)
    return {
        "left": ((0.0, depth), y, x),
        "right": ((width - depth, width), y, x),
        "top": (x, (height - depth, height), y),
        "bottom": (x, (0.0, depth), y),
    }[wall]


class Drawn:
    """What is read back from the drawing of a cabinet, in mm: ducts, parts and operators on their boards, on walls."""

    def __init__(self, layout: Layout, design: Design) -> None:
        picture = read_picture(svg_of(views(layout, design.parts, design.plan)))
        boards = {part.data["what"]: part for part in picture.parts if part.data.get("what") in ("plate", "door")}
        walls = {part.data["wall"]: part for part in picture.parts if part.data.get("what") == "wall"}
        scale = next((float(part.data["scale"]) for part in picture.parts if part.data.get("what") == "duct"), 1.0)
        self.ducts: dict[str, tuple[float, float, float, float, str]] = {}
        self.parts: dict[str, tuple[Area, str]] = {}
        for part in picture.parts:
            what = part.data.get("what")
            if what == "duct":
                area = _read(part, boards["plate"], scale)
                self.ducts[part.id] = (area.x, area.y, area.right, area.top, part.data["run"])
            elif what in ("part", "operator"):
                board = "plate" if what == "part" else "door"
                self.parts[part.id] = _read(part, boards[board], scale), board
            elif what == "wall part":
                wall = part.data["wall"]
                self.parts[part.id] = _read(part, walls[wall], float(walls[wall].data["scale"])), wall


def _read(part: Any, board: Any, scale: float) -> Area:
    """The rectangle of a part from the lower left corner of its board, both by their first outline."""
    xs, ys = zip(*part.chains[0], strict=True)
    x0, y0 = min(x for x, _ in board.chains[0]), max(y for _, y in board.chains[0])
    low, left = scale * (y0 - max(ys)), scale * (min(xs) - x0)
    return Area(left, low, scale * (max(xs) - min(xs)), scale * (max(ys) - min(ys)))


class DrawnNet:
    """The middle lines of drawn ducts as a networkx graph, joined where shapely says that ducts touch.

    Spots are taken first; the graph holds all of them when the first way is asked for.
    """

    def __init__(self, ducts: dict[str, tuple[float, float, float, float, str]]) -> None:
        self.ducts = ducts
        self.at: dict[str, set[float]] = {name: set() for name in ducts}
        shapes = {name: box(*one[:4]).buffer(0.3) for name, one in ducts.items()}
        for across, one in ducts.items():
            for up, two in ducts.items():
                if one[4] == "across" and two[4] == "up" and shapes[across].intersects(shapes[up]):
                    self.at[across].add(self.middle(up))
                    self.at[up].add(self.middle(across))

    def middle(self, name: str) -> float:
        """Where the middle line of a duct lies."""
        left, low, right, top, run = self.ducts[name]
        return (low + top) / 2 if run == "across" else (left + right) / 2

    def spot(self, name: str, along: float) -> tuple[float, float]:
        """A point of a middle line, which becomes a node."""
        self.at[name].add(along)
        return (along, self.middle(name)) if self.ducts[name][4] == "across" else (self.middle(name), along)

    def nearest(self, x: float, y: float) -> tuple[tuple[float, float], float]:
        """The spot of any middle line that is nearest to a point, by shapely, and the way to it across and upwards."""
        found = []
        for name in self.ducts:
            line = self.line(name)
            on = line.interpolate(line.project(Point(x, y)))
            found.append((abs(on.x - x) + abs(on.y - y), name, on.x if self.ducts[name][4] == "across" else on.y))
        reach, name, along = min(found)
        return self.spot(name, along), reach

    @cached_property
    def graph(self) -> networkx.Graph[Any]:
        """All spots along the middle lines."""
        graph: networkx.Graph[Any] = networkx.Graph()
        for name, places in self.at.items():
            nodes = [self.spot(name, place) for place in sorted(places)]
            for a, b in pairwise(nodes):
                graph.add_edge(_key(a), _key(b), weight=Point(a).distance(Point(b)))
        return graph

    def shortest(self, one: tuple[float, float], two: tuple[float, float]) -> float:
        """Length of the shortest way between two spots, by networkx."""
        found: float = networkx.dijkstra_path_length(self.graph, _key(one), _key(two))
        return found

    def line(self, name: str) -> LineString:
        """The middle line of a duct."""
        left, low, right, top, run = self.ducts[name]
        middle = self.middle(name)
        return LineString([(left, middle), (right, middle)] if run == "across" else [(middle, low), (middle, top)])


def _key(point: tuple[float, float]) -> tuple[float, float]:
    return round(point[0], 1), round(point[1], 1)
