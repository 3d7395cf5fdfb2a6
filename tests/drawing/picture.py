"""A drawn sheet read back from its SVG: groups with lines, texts and pins. It knows nothing of how it was drawn."""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin
from xml.etree import ElementTree

from msgspec import Struct

from wiring.drawing.shapes import ADVANCE, ASCENT, Box, Point, places

#: Characters of the drawing's texts that reach below the base line.
_DEEP = set("gjpqyçµ,;()[]{}|/@_Q$&")
_FLAT, _DEPTH = 0.02, 0.24
_NS = "{http://www.w3.org/2000/svg}"


class Stroke(Struct, frozen=True):
    """A straight stroke."""

    x1: float
    y1: float
    x2: float
    y2: float


class Words(Struct, frozen=True):
    """A text with the box of its ink."""

    text: str
    size: float
    box: Box


class Pin(Struct, frozen=True):
    """An invisible point at a terminal, `node` is PART:TERMINAL; empty at a reference."""

    x: float
    y: float
    node: str


class Part(Struct, frozen=True):
    """One group of the picture."""

    kind: str
    id: str
    data: dict[str, str]
    chains: tuple[tuple[Point, ...], ...]
    ovals: tuple[tuple[Point, ...], ...]
    words: tuple[Words, ...]
    pins: tuple[Pin, ...]

    @property
    def strokes(self) -> list[Stroke]:
        """All strokes of the lines, without those of circles."""
        return [Stroke(*a, *b) for chain in self.chains for a, b in pairwise(chain)]

    @property
    def ink(self) -> list[Stroke]:
        """All strokes, circles included."""
        round_ = [Stroke(*a, *b) for oval in self.ovals for a, b in pairwise(oval)]
        return self.strokes + round_

    @property
    def body(self) -> Box | None:
        """The body of a symbol."""
        text = self.data.get("body")
        return Box(*(float(value) for value in text.split())) if text else None


class Picture(Struct, frozen=True):
    """One sheet: its number, its size, the inside of its frame and its groups."""

    number: int
    width: float
    height: float
    parts: tuple[Part, ...]

    def of(self, *kinds: str) -> list[Part]:
        """The groups of these kinds."""
        return [part for part in self.parts if part.kind in kinds]

    @property
    def frame(self) -> Box:
        """The inside of the frame line."""
        chain = self.of("frame")[0].chains[0]
        xs, ys = [x for x, _ in chain], [y for _, y in chain]
        return Box(min(xs), min(ys), max(xs), max(ys))


def _points(element: ElementTree.Element) -> list[Point]:
    pairs = (pair.split(",") for pair in element.get("points", "").split())
    return [(float(x), float(y)) for x, y in pairs]


def _number(element: ElementTree.Element, name: str) -> float:
    return float(element.get(name, "0"))


def _words(element: ElementTree.Element) -> Words:
    text = element.text or ""
    size = _number(element, "font-size")
    width = places(text) * ADVANCE * size
    anchor = element.get("text-anchor", "start")
    x = _number(element, "x") - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    y = _number(element, "y")
    depth = _DEPTH if set(text) & _DEEP else _FLAT
    return Words(text, size, Box(x, y - ASCENT * size, x + width, y + depth * size))


def _oval(element: ElementTree.Element) -> tuple[Point, ...]:
    x, y = _number(element, "cx"), _number(element, "cy")
    rx, ry = _number(element, "rx"), _number(element, "ry")
    angles = [2 * pi * n / 24 for n in range(25)]
    return tuple((x + rx * cos(angle), y + ry * sin(angle)) for angle in angles)


def _part(group: ElementTree.Element) -> Part:
    chains, ovals, words, pins = [], [], [], []
    for element in group:
        match element.tag.removeprefix(_NS):
            case "polyline":
                chains.append(tuple(_points(element)))
            case "polygon":
                points = _points(element)
                chains.append((*points, points[0]))
            case "ellipse":
                ovals.append(_oval(element))
            case "text":
                words.append(_words(element))
            case "circle":
                pins.append(Pin(_number(element, "cx"), _number(element, "cy"), element.get("data-node", "")))
    data = {key.removeprefix("data-"): value for key, value in group.attrib.items() if key.startswith("data-")}
    return Part(
        group.get("class", ""), data.get("id", ""), data, tuple(chains), tuple(ovals), tuple(words), tuple(pins)
    )


def read_picture(svg: str) -> Picture:
    """The picture of one SVG file of this project.

    Raises ValueError when the text is no such file.
    """
    try:
        root = ElementTree.fromstring(svg)
    except ElementTree.ParseError as error:
        raise ValueError(f"this is no drawn sheet: {error}") from None
    parts = tuple(_part(group) for group in root.iter(f"{_NS}g"))
    width, height = (float(root.get(name, "0").removesuffix("mm")) for name in ("width", "height"))
    return Picture(int(root.get("data-sheet", "0")), width, height, parts)
