"""Sheets of paper after ISO 5457: frame, zones, and the area that is left for the drawing."""

from __future__ import annotations

from msgspec import Struct

from wiring.drawing.shapes import Box

#: Binding margin and the other margins [mm], width of the zone border, block of ISO 7200 (one source).
_BINDING, _MARGIN, BORDER, TITLE_WIDTH, TITLE_HEIGHT = 20.0, 10.0, 5.0, 180.0, 27.0
_CLEAR = 5.0
#: Height of a line of a ladder [mm]; one stands at the left of a North American sheet (common practice, no source).
_LINE = 10.0
#: Letters of the zones, without I and O.
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


class Paper(Struct, frozen=True):
    """One size of paper [mm] with its number of zones across and down.

    On North American sheets references name the line of a ladder, counted from the top, in the place of the zone.
    """

    name: str
    width: float
    height: float
    across: int
    down: int
    has_lines: bool = False

    @property
    def frame(self) -> Box:
        """The inside of the frame line."""
        return Box(_BINDING, _MARGIN, self.width - _MARGIN, self.height - _MARGIN)

    @property
    def upright(self) -> bool:
        """Whether the title block takes the full width, with the strip of findings above it."""
        return self.frame.width < 1.5 * TITLE_WIDTH

    @property
    def title(self) -> Box:
        """The place of the title block, at the lower right."""
        frame = self.frame
        return Box(frame.x2 - min(TITLE_WIDTH, frame.width), frame.y2 - TITLE_HEIGHT, frame.x2, frame.y2)

    @property
    def strip(self) -> Box:
        """The place for the findings of a sheet."""
        frame, title = self.frame, self.title
        if self.upright:
            return Box(frame.x1, title.y1 - TITLE_HEIGHT, frame.x2, title.y1)
        return Box(frame.x1, title.y1, title.x1, frame.y2)

    @property
    def area(self) -> Box:
        """What is left for the drawing."""
        frame = self.frame
        return Box(frame.x1 + _CLEAR, frame.y1 + _CLEAR, frame.x2 - _CLEAR, self.strip.y1 - _CLEAR)

    def letter(self, row: int) -> str:
        """The letter of a row of zones, from 0 at the top."""
        return _LETTERS[row]

    @property
    def lines(self) -> list[tuple[str, float]]:
        """The numbers of the lines with the upper edge of each; none where references name zones."""
        count = int(self.area.height / _LINE) + 1 if self.has_lines else 0
        return [(f"{n + 1:02d}", self.area.y1 + n * _LINE) for n in range(count)]

    def zone(self, x: float, y: float) -> str:
        """The zone in which a point lies, such as C4, or the number of its line, such as 07."""
        x, y = round(x, 2), round(y, 2)  # as it is printed, so that a reader of the sheet finds the same zone
        if self.has_lines:
            return [number for number, top in self.lines if top <= y or number == "01"][-1]
        frame = self.frame
        column = min(self.across - 1, max(0, int((x - frame.x1) / frame.width * self.across)))
        row = min(self.down - 1, max(0, int((y - frame.y1) / frame.height * self.down)))
        return f"{self.letter(row)}{column + 1}"


#: A3 has 8 x 6 zones and A4 4 x 6 (ISO 5457); the North American sheets take the number of the like ISO sheet.
PAPERS = {
    "A3": Paper("A3", 420.0, 297.0, 8, 6),
    "A4": Paper("A4", 210.0, 297.0, 4, 6),
    "letter": Paper("letter", 215.9, 279.4, 4, 6, has_lines=True),
    "tabloid": Paper("tabloid", 431.8, 279.4, 8, 6, has_lines=True),
}
