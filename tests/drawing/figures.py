"""Figures of drawn sheets, by shapely: how much of a sheet is used, and what is interrupted."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from shapely import union_all
from shapely.geometry import LineString, box

from tests.drawing.picture import Picture
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import Point

#: What counts as used: symbols, wires and texts, each grown by so much [mm].
_GROWN = 5.0
_DRAWN = (
    "symbol",
    "wire",
    "fan-out",
    "words",
    "label",
    "reference",
    "cable",
    "sibling",
    "finding",
    "potential",
    "contacts",
)


def use_of(picture: Picture, paper: Paper) -> float:
    """Share of the drawing area that lies within 5 mm of a symbol, wire or text."""
    shapes = []
    for part in picture.of(*_DRAWN):
        for stroke in part.ink:
            line = LineString([(stroke.x1, stroke.y1), (stroke.x2, stroke.y2)])
            shapes.append(line.buffer(_GROWN, cap_style="square"))
        for words in part.words:
            b = words.box
            shapes.append(box(b.x1 - _GROWN, b.y1 - _GROWN, b.x2 + _GROWN, b.y2 + _GROWN))
    area = box(paper.area.x1, paper.area.y1, paper.area.x2, paper.area.y2)
    return union_all(shapes).intersection(area).area / area.area if shapes else 0.0


def interrupted(pictures: Sequence[Picture]) -> dict[str, list[int]]:
    """The sheets on which every interrupted wire has its two references."""
    found: dict[str, list[int]] = {}
    for picture in pictures:
        for part in picture.of("reference"):
            found.setdefault(part.id, []).append(picture.number)
    return found


def against(picture: Picture) -> int:
    """Segments of drawn wires that run up or from right to left, each wire walked from the end that has fewer.

    That power and signals run downwards and from left to right is common practice, no source.
    """
    chains = [chain for part in picture.of("wire") for chain in part.chains]
    return sum(min(_back(chain), _back(chain[::-1])) for chain in chains)


def _back(chain: Sequence[Point]) -> int:
    return sum(b[1] < a[1] - 1e-6 or b[0] < a[0] - 1e-6 for a, b in pairwise(chain))
