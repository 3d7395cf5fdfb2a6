"""Faults of a drawn sheet, found in its SVG alone: what overlaps, touches, runs through or leaves the sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from tests.drawing.picture import Part, Picture, Stroke, Words
from wiring.drawing.shapes import Box

#: Smallest font whose capitals are 1.8 mm high [mm] (ISO 3098 for the height; 0.729 em from the typeface).
SMALLEST_TEXT = 2.5
_EPS = 0.06
#: Least distance between the number of a wire and that of a terminal [mm].
_APART = 3.0
#: Groups that carry electrical lines.
_WIRES = ("wire", "fan-out")
_INKED = (
    "symbol",
    "cable",
    "finding",
    "title",
    "strip",
    "frame",
    "cover",
    "overview",
    "enclosure",
    "legend",
    "terminal",
    "core",
)


class DrawingFault(Struct, frozen=True):
    """One fault: its kind, the sheet, what it concerns, and where [mm]."""

    kind: str
    sheet: int
    subject: str
    x: float
    y: float

    def __str__(self) -> str:
        return f"sheet {self.sheet}: {self.kind}: {self.subject} at ({self.x:.1f}, {self.y:.1f})"


def _overlap(a: Box, b: Box) -> bool:
    return a.x1 < b.x2 - _EPS and b.x1 < a.x2 - _EPS and a.y1 < b.y2 - _EPS and b.y1 < a.y2 - _EPS


def _cuts(stroke: Stroke, box: Box) -> bool:
    """Whether a stroke has a piece inside a box, less a small margin (Liang and Barsky's clipping)."""
    dx, dy = stroke.x2 - stroke.x1, stroke.y2 - stroke.y1
    low, high = 0.0, 1.0
    sides = (
        (-dx, stroke.x1 - (box.x1 + _EPS)),
        (dx, (box.x2 - _EPS) - stroke.x1),
        (-dy, stroke.y1 - (box.y1 + _EPS)),
        (dy, (box.y2 - _EPS) - stroke.y1),
    )
    for p, q in sides:
        if p == 0.0:
            if q < 0.0:
                return False
            continue
        ratio = q / p
        if p < 0.0:
            low = max(low, ratio)
        else:
            high = min(high, ratio)
        if low > high:
            return False
    return True


class _Index:
    """Boxes by bands of y, so that only neighbours are compared."""

    def __init__(self, step: float = 10.0) -> None:
        self.step = step
        self.bands: dict[int, list[tuple[Box, object]]] = {}

    def span(self, y1: float, y2: float) -> range:
        return range(int(y1 // self.step), int(y2 // self.step) + 1)

    def add(self, box: Box, item: object) -> None:
        for band in self.span(box.y1, box.y2):
            self.bands.setdefault(band, []).append((box, item))

    def near(self, box: Box) -> Iterator[tuple[Box, object]]:
        seen: set[int] = set()
        for band in self.span(box.y1, box.y2):
            for other, item in self.bands.get(band, ()):
                if id(item) not in seen and other.x1 <= box.x2 and box.x1 <= other.x2:
                    seen.add(id(item))
                    yield other, item


def _box_of(stroke: Stroke) -> Box:
    xs, ys = sorted((stroke.x1, stroke.x2)), sorted((stroke.y1, stroke.y2))
    return Box(xs[0], ys[0], xs[1], ys[1])


def _texts(picture: Picture) -> list[Words]:
    return [words for part in picture.parts for words in part.words]


def _text_faults(picture: Picture) -> Iterator[DrawingFault]:
    texts = _texts(picture)
    index = _Index()
    for words in texts:
        if words.size < SMALLEST_TEXT - 1e-9:
            yield DrawingFault("text too small", picture.number, words.text, words.box.x1, words.box.y2)
        for other, item in index.near(words.box):
            if _overlap(other, words.box):
                both = f"{words.text!r} and {getattr(item, 'text', '')!r}"
                yield DrawingFault("text on text", picture.number, both, words.box.x1, words.box.y2)
        index.add(words.box, words)
    for kinds, name in ((_WIRES, "text on wire"), (_INKED, "text on symbol")):
        for part in picture.of(*kinds):
            for stroke in part.ink:
                for box, item in index.near(_box_of(stroke)):
                    if _cuts(stroke, box):
                        what = f"{getattr(item, 'text', '')!r} and {part.kind} {part.id}"
                        yield DrawingFault(name, picture.number, what, box.x1, box.y2)


def _numbers_too_near(picture: Picture) -> Iterator[DrawingFault]:
    """Wire numbers that stand so near to the number of a terminal on their line that both read as one."""
    numbers = [(part.id, part.words[0]) for part in picture.of("label") if part.words]
    for part in picture.of("symbol"):
        for words in part.words:
            for wire, number in numbers:
                level = abs(words.box.y2 - number.box.y2) < 1.5
                gap = max(words.box.x1 - number.box.x2, number.box.x1 - words.box.x2)
                if level and gap < _APART - _EPS and words.text:
                    yield DrawingFault(
                        "numbers too near", picture.number, f"{wire} and {words.text}", number.box.x1, number.box.y2
                    )


def _through_symbols(picture: Picture) -> Iterator[DrawingFault]:
    bodies = [(part, part.body) for part in picture.of("symbol")]
    for wire in picture.of(*_WIRES):
        for stroke in wire.strokes:
            for part, body in bodies:
                if body is not None and _cuts(stroke, body):
                    what = f"{wire.id} through {part.id}"
                    yield DrawingFault("wire through symbol", picture.number, what, stroke.x1, stroke.y1)
    yield from _symbols_apart(picture, [(part, body) for part, body in bodies if body is not None])


def _symbols_apart(picture: Picture, bodies: Sequence[tuple[Part, Box]]) -> Iterator[DrawingFault]:
    for n, (one, box) in enumerate(bodies):
        for two, other in bodies[n + 1 :]:
            if _overlap(box, other):
                what = f"{one.id} and {two.id}"
                yield DrawingFault("symbol on symbol", picture.number, what, other.x1, other.y1)


Segment = tuple[str, str, float, float, float]  # group kind, id, fixed coordinate, low, high


def _segments(picture: Picture) -> tuple[list[Segment], list[Segment], list[DrawingFault]]:
    """Horizontal and vertical pieces of all wires, and a fault for every oblique one."""
    level: list[Segment] = []
    upright: list[Segment] = []
    oblique: list[DrawingFault] = []
    for part in picture.of(*_WIRES):
        for s in part.strokes:
            if abs(s.y1 - s.y2) < 1e-6:
                level.append((part.kind, part.id, s.y1, min(s.x1, s.x2), max(s.x1, s.x2)))
            elif abs(s.x1 - s.x2) < 1e-6:
                upright.append((part.kind, part.id, s.x1, min(s.y1, s.y2), max(s.y1, s.y2)))
            else:
                oblique.append(DrawingFault("wire aslant", picture.number, part.id, s.x1, s.y1))
    return level, upright, oblique


def _on_one_line(picture: Picture, segments: list[Segment], level: bool) -> Iterator[DrawingFault]:
    ordered = sorted(segments, key=lambda s: (round(s[2], 2), s[3]))
    for n, one in enumerate(ordered):
        for two in ordered[n + 1 :]:
            if abs(two[2] - one[2]) > 0.05:
                break
            if two[3] > one[4] - _EPS or one[3] > two[4] - _EPS:
                continue
            if one[:2] != two[:2] or one[0] == "wire":
                x, y = (two[3], two[2]) if level else (two[2], two[3])
                yield DrawingFault("two wires on one line", picture.number, f"{one[1]} and {two[1]}", x, y)


def crossings(picture: Picture) -> int:
    """How many times wires of a sheet cross."""
    level, upright, _ = _segments(picture)
    return sum(
        1
        for h in level
        for v in upright
        if h[1] != v[1] and h[3] + _EPS < v[2] < h[4] - _EPS and v[3] + _EPS < h[2] < v[4] - _EPS
    )


def straight_runs(picture: Picture) -> tuple[int, int]:
    """How many wire runs of a sheet are straight, and how many there are."""
    runs = [chain for part in picture.of("wire") for chain in part.chains]
    return sum(len(chain) == 2 for chain in runs), len(runs)


def _touching(picture: Picture) -> Iterator[DrawingFault]:
    """Ends and corners of one wire on the stroke of another, which would read as a joint."""
    level, upright, _ = _segments(picture)
    for part in picture.of(*_WIRES):
        for chain in part.chains:
            for x, y in chain:
                for kind, name, at, low, high in level:
                    if (kind, name) != (part.kind, part.id) and abs(at - y) < _EPS and low + _EPS < x < high - _EPS:
                        yield DrawingFault("wires touch", picture.number, f"{part.id} and {name}", x, y)
                for kind, name, at, low, high in upright:
                    if (kind, name) != (part.kind, part.id) and abs(at - x) < _EPS and low + _EPS < y < high - _EPS:
                        yield DrawingFault("wires touch", picture.number, f"{part.id} and {name}", x, y)


def _over_stubs(picture: Picture) -> Iterator[DrawingFault]:
    """Wires that run on the lines of a symbol."""
    level, upright, _ = _segments(picture)
    for part in picture.of("symbol"):
        for s in part.strokes:
            if abs(s.y1 - s.y2) < 1e-6:
                low, high, at, wires = min(s.x1, s.x2), max(s.x1, s.x2), s.y1, level
            elif abs(s.x1 - s.x2) < 1e-6:
                low, high, at, wires = min(s.y1, s.y2), max(s.y1, s.y2), s.x1, upright
            else:
                continue
            for _, name, fixed, start, end in wires:
                if abs(fixed - at) < 0.05 and start < high - _EPS and low < end - _EPS:
                    yield DrawingFault("wire on symbol line", picture.number, f"{name} on {part.id}", s.x1, s.y1)


def _all_points(part: Part) -> Iterator[tuple[float, float]]:
    for chain in (*part.chains, *part.ovals):
        yield from chain
    for words in part.words:
        yield words.box.x1, words.box.y1
        yield words.box.x2, words.box.y2


def _outside(picture: Picture) -> Iterator[DrawingFault]:
    frame = picture.frame
    reserved = []
    for part in picture.of("title", "strip"):
        xs, ys = zip(*part.chains[0], strict=True)
        reserved.append(Box(min(xs), min(ys), max(xs), max(ys)))
    for part in picture.parts:
        if part.kind in ("frame", "title", "strip"):
            continue
        for x, y in _all_points(part):
            inside = frame.x1 <= x <= frame.x2 and frame.y1 <= y <= frame.y2
            if not inside or any(box.x1 < x < box.x2 and box.y1 < y < box.y2 for box in reserved):
                yield DrawingFault("off the sheet", picture.number, f"{part.kind} {part.id}", x, y)
                break


def _stacked(picture: Picture) -> Iterator[DrawingFault]:
    """Pins of one symbol that fall together."""
    pins = sorted((pin.x, pin.y, pin.node) for part in picture.of("symbol") for pin in part.pins)
    for one, two in pairwise(pins):
        if one[2] != two[2] and abs(one[0] - two[0]) < _EPS and abs(one[1] - two[1]) < _EPS:
            yield DrawingFault("pins on one point", picture.number, f"{one[2]} and {two[2]}", one[0], one[1])


def lint(picture: Picture) -> list[DrawingFault]:
    """Every fault of one sheet that can be seen without the plan."""
    level, upright, oblique = _segments(picture)
    return [
        *_text_faults(picture),
        *_numbers_too_near(picture),
        *_through_symbols(picture),
        *oblique,
        *_on_one_line(picture, level, True),
        *_on_one_line(picture, upright, False),
        *_touching(picture),
        *_over_stubs(picture),
        *_outside(picture),
        *_stacked(picture),
    ]
