"""Text set in columns: headings and wrapped lines downwards, with word of what did not fit."""

from __future__ import annotations

from wiring.book_words import in_book
from wiring.drawing.shapes import ADVANCE, TEXT, Box, Pen, Shape, Text, shortened, wrapped
from wiring.drawing.symbols.glyph import stroke

LINE = 4.5
CHAR = ADVANCE * TEXT


class Column:
    """Writes lines downwards in a box, in the words and units of a book; `full` is set once there is no room."""

    def __init__(self, box: Box, book: str = "") -> None:
        self.box, self.y, self.book = box, box.y1, book
        self.shapes: list[Shape] = []
        self.full = False

    @property
    def most(self) -> int:
        """Characters of a line."""
        return int(self.box.width / CHAR)

    @property
    def room(self) -> int:
        """Lines that still fit."""
        return int((self.box.y2 - self.y) / LINE)

    def heading(self, text: str) -> None:
        """A heading with a hair line under it."""
        if self.room < 3:
            self.full = True
            return
        self.y += 6.0
        self.shapes.append(Text(self.box.x1, self.y, shortened(text, int(self.most * 0.7)), 3.5, bold=True))
        self.y += 1.6
        self.shapes.append(stroke((self.box.x1, self.y), (self.box.x2, self.y), pen=Pen.HAIR))
        self.y += 0.8

    def line(self, text: str, *, bold: bool = False) -> None:
        """A text, wrapped; an ellipsis stands where the column is full."""
        for piece in wrapped(in_book(text, self.book), self.most):
            if self.full:
                return
            self.y += LINE
            if self.room < 1:
                self.full, piece = True, "…"
            self.shapes.append(Text(self.box.x1, self.y, piece, bold=bold))
