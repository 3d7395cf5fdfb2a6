"""What a sheet is made of: lines, circles and texts in millimetres, gathered in named groups. Data only.

The origin is the upper left corner of the sheet, x to the right, y down.
"""

from __future__ import annotations

from enum import StrEnum
from unicodedata import combining, east_asian_width

from msgspec import Struct
from msgspec.structs import replace

Point = tuple[float, float]

#: Advance of every character of the drawing's typeface as a share of the font size (DejaVu Sans Mono: 1233 / 2048).
ADVANCE = 1233 / 2048
#: Height above and depth below the base line that the ink of a text may take, as shares of the font size.
ASCENT, DESCENT = 0.76, 0.24
#: Font size of all running text [mm]: capitals are 0.729 of it, so 1.8 mm (ISO 3098).
TEXT = 2.5
DESIGNATION = 3.5
#: Font size of wire numbers [mm]: capitals are 2.5 mm high, which sets them off from the numbers of terminals.
NUMBER = 3.5


class Pen(StrEnum):
    """The strokes of a drawing."""

    FRAME = "frame"
    POWER = "power"
    WIRE = "wire"
    SYMBOL = "symbol"
    HAIR = "hair"
    LINK = "link"
    STORY = "story"


#: Width of the stroke [mm] and its dashes. Symbols on a module of 2.5 mm: IEC 60617, from memory.
STROKE: dict[Pen, tuple[float, str]] = {
    Pen.FRAME: (0.7, ""),
    Pen.POWER: (0.5, ""),
    Pen.WIRE: (0.25, ""),
    Pen.SYMBOL: (0.35, ""),
    Pen.HAIR: (0.18, ""),
    Pen.LINK: (0.18, "1.2 0.8"),
    Pen.STORY: (1.0, ""),
}


class Line(Struct, frozen=True):
    """A chain of straight strokes, closed to a polygon or not.

    `of` is the terminal whose potential it has, as a plan writes it; `when` is "PATH open" or "PATH closed" for a
    moving piece that is seen only while that contact or pole stands so.
    """

    points: tuple[Point, ...]
    pen: Pen = Pen.SYMBOL
    closed: bool = False
    filled: bool = False
    of: str = ""
    when: str = ""


class Oval(Struct, frozen=True):
    """A circle or an ellipse about (x, y); `of` and `when` as for a line."""

    x: float
    y: float
    rx: float
    ry: float
    pen: Pen = Pen.SYMBOL
    filled: bool = False
    of: str = ""
    when: str = ""


class Text(Struct, frozen=True):
    """Horizontal text; (x, y) is on its base line at the `anchor`: start, middle or end."""

    x: float
    y: float
    text: str
    size: float = TEXT
    anchor: str = "start"
    bold: bool = False


class Mark(Struct, frozen=True):
    """An invisible point at which a terminal of a part stands, for reading the drawing back."""

    x: float
    y: float
    node: str


Shape = Line | Oval | Text | Mark


class Group(Struct, frozen=True):
    """Shapes that belong together. `kind` says what they show, `id` which one, `data` more facts for reading back."""

    kind: str
    id: str
    shapes: tuple[Shape, ...]
    data: tuple[tuple[str, str], ...] = ()


class Sheet(Struct, frozen=True):
    """One finished sheet of `width` x `height` mm."""

    number: int
    title: str
    kind: str
    width: float
    height: float
    groups: tuple[Group, ...]


class Box(Struct, frozen=True):
    """A rectangle from (x1, y1) to (x2, y2)."""

    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def width(self) -> float:
        """Extent in x."""
        return self.x2 - self.x1

    @property
    def height(self) -> float:
        """Extent in y."""
        return self.y2 - self.y1


def places(text: str) -> int:
    """Places that a text takes in a typeface of even advance: wide characters take two, combining ones none."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(sign) else 2 if east_asian_width(sign) in "WF" else 1 for sign in text)


def text_width(text: str, size: float = TEXT) -> float:
    """Width of a text in the drawing's typeface [mm]."""
    return places(text) * ADVANCE * size


def shortened(text: str, most: int) -> str:
    """The text, with an ellipsis in the place of what is more than `most` places."""
    clean = " ".join(text.split())
    if places(clean) <= most:
        return clean
    while clean and places(clean) > most - 1:
        clean = clean[:-1]
    return clean + "…"


def _pieces(word: str, most: int) -> list[str]:
    """A word in pieces of at most `most` places."""
    found, piece = [], ""
    for sign in word:
        if piece and places(piece + sign) > most:
            found.append(piece)
            piece = ""
        piece += sign
    return [*found, piece]


def wrapped(text: str, most: int) -> list[str]:
    """The text in lines of at most `most` places, broken between words where it can be."""
    lines, line = [], ""
    words = [piece for long in text.split() for piece in _pieces(long, most)]
    for word in words:
        if line and places(line) + 1 + places(word) > most:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line] if line else lines


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """The shape shifted by (dx, dy)."""
    if isinstance(shape, Line):
        return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
    return replace(shape, x=shape.x + dx, y=shape.y + dy)


def moved_all(shapes: tuple[Shape, ...] | list[Shape], dx: float, dy: float) -> tuple[Shape, ...]:
    """All shapes shifted by (dx, dy)."""
    return tuple(moved(shape, dx, dy) for shape in shapes)


def rectangle(box: Box, pen: Pen = Pen.SYMBOL, *, filled: bool = False) -> Line:
    """The outline of a rectangle."""
    return Line(((box.x1, box.y1), (box.x2, box.y1), (box.x2, box.y2), (box.x1, box.y2)), pen, True, filled)
