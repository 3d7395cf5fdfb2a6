"""The symbols, by name, in two sets: IEC 60617, and North American machine practice where it differs."""

from __future__ import annotations

from msgspec import Struct

from wiring.drawing.shapes import Shape
from wiring.drawing.symbols.actuators import ACTUATORS
from wiring.drawing.symbols.emblems import EMBLEMS, FRAME, GROUND, PROTECTIVE_EARTH
from wiring.drawing.symbols.glyph import Glyph
from wiring.drawing.symbols.iec import IEC
from wiring.drawing.symbols.na import NA

#: Emblems that the North American set draws as another one.
_NA_EMBLEM = {"transformer": "windings", "resistor": "zigzag"}


class SymbolSet(Struct, frozen=True):
    """The symbols of one rulebook: "iec" or "na"."""

    book: str

    def glyph(self, name: str) -> Glyph:
        """The two-ended symbol of that name."""
        return NA[name] if self.book == "na" and name in NA else IEC[name]

    def emblem(self, name: str) -> tuple[Shape, ...]:
        """The sign inside a device."""
        return EMBLEMS[_NA_EMBLEM.get(name, name) if self.book == "na" else name]

    def actuator(self, name: str) -> tuple[Shape, ...]:
        """What moves a contact."""
        return ACTUATORS[name]

    def earth(self) -> tuple[Shape, ...]:
        """The protective earth."""
        return GROUND if self.book == "na" else PROTECTIVE_EARTH

    def frame(self) -> tuple[Shape, ...]:
        """A frame or chassis."""
        return FRAME
