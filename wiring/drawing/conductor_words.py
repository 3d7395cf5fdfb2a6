"""What the drawing says of a conductor wherever it stands: its stroke, its label, the place of its ends."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.circuit.model import Conductor
from wiring.drawing.labels import WireLabel
from wiring.drawing.problem import End
from wiring.drawing.shapes import NUMBER, Pen, Shape, Text

#: From this cross-section a wire is a thick line [mm2]; the thinnest that is sold as 1.5 mm2 or 16 AWG.
_POWER_MM2 = 1.3


def pen_of(conductor: Conductor) -> Pen:
    """The stroke of a conductor."""
    if conductor.kind == "shield":
        return Pen.LINK
    return Pen.POWER if conductor.size is not None and conductor.size.area_mm2 >= _POWER_MM2 else Pen.WIRE


def of_conductor(conductor: str) -> tuple[tuple[str, str], ...]:
    """What a group of a conductor carries for readers of the sheet."""
    return (("conductor", conductor),)


def label_shapes(label: WireLabel, x: float, y: float) -> tuple[Shape, ...]:
    """The label of a wire from x on, on the base line y."""
    number = Text(x, y, label.number, NUMBER)
    return (number, Text(x + label.behind, y, label.rest)) if label.rest else (number,)


class Places(Struct, frozen=True):
    """Where wire ends and units are: (number of the sheet, zone). `unknown` stands for what has no place yet."""

    ends: Mapping[End, tuple[int, str]]
    units: Mapping[str, tuple[int, str]]
    unknown: tuple[int, str] = (0, "")

    def of_end(self, end: End) -> tuple[int, str]:
        """The place of a wire end."""
        return self.ends.get(end, self.unknown)

    def of_unit(self, name: str) -> tuple[int, str]:
        """The place of a unit."""
        return self.units.get(name, self.unknown)


#: Places as long as they become, to keep room for them.
ANYWHERE = Places({}, {}, (88, "A8"))
