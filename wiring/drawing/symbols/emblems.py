"""Signs inside the frame of a device, about (0, 0) within 8 x 7 mm, and the two earths. IEC 60617, from memory."""

from __future__ import annotations

from wiring.drawing.shapes import Pen, Shape, Text
from wiring.drawing.symbols.glyph import arc, box, humps, outline, ring, stroke, wave


def _equals(x: float, y: float) -> tuple[Shape, ...]:
    return (
        stroke((x - 1.1, y - 0.4), (x + 1.1, y - 0.4), pen=Pen.HAIR),
        stroke((x - 1.1, y + 0.4), (x - 0.3, y + 0.4), pen=Pen.HAIR),
        stroke((x + 0.3, y + 0.4), (x + 1.1, y + 0.4), pen=Pen.HAIR),
    )


def _converting(upper: tuple[Shape, ...], lower: tuple[Shape, ...]) -> tuple[Shape, ...]:
    return (box(-3.5, -3.5, 3.5, 3.5), stroke((-3.5, 3.5), (3.5, -3.5)), *upper, *lower)


_AC_IN = (wave(-1.5, -1.7, 2.2, 0.6),)
_AC_OUT = (wave(1.5, 1.7, 2.2, 0.6),)
_STAIRS = stroke((-3.0, 3.4), (-1.5, 3.4), (-1.5, 2.4), (0.0, 2.4), (0.0, 1.4), (1.5, 1.4), (1.5, 0.4), (3.0, 0.4))

EMBLEMS: dict[str, tuple[Shape, ...]] = {
    "ac-dc": _converting(_AC_IN, _equals(1.5, 1.7)),
    "dc-dc": _converting(_equals(-1.5, -1.7), _equals(1.5, 1.7)),
    "dc-ac": _converting(_equals(-1.5, -1.7), _AC_OUT),
    "ac-ac": _converting(_AC_IN, _AC_OUT),
    "isolator": _converting((), ()),
    "transformer": (ring(-1.4, 0.0, 2.4), ring(1.4, 0.0, 2.4)),
    "windings": (
        *humps(-1.6, -3.2, 4, 0.8, 1),
        *humps(1.6, -3.2, 4, 0.8, -1),
        stroke((-0.25, -3.2), (-0.25, 3.2)),
        stroke((0.25, -3.2), (0.25, 3.2)),
    ),
    "battery": (
        stroke((0.0, -3.2), (0.0, -0.5)),
        stroke((-2.4, -0.5), (2.4, -0.5)),
        stroke((-1.2, 0.5), (1.2, 0.5)),
        stroke((0.0, 0.5), (0.0, 3.2)),
    ),
    "filter": (
        wave(0.0, -2.0, 5.0, 0.7, Pen.SYMBOL),
        wave(0.0, 0.0, 5.0, 0.7, Pen.SYMBOL),
        wave(0.0, 2.0, 5.0, 0.7, Pen.SYMBOL),
        stroke((-0.6, -1.2), (0.6, -2.8)),
        stroke((-0.6, 2.8), (0.6, 1.2)),
    ),
    "sensor": (outline((-3.0, 0.0), (0.0, -3.0), (3.0, 0.0), (0.0, 3.0)),),
    "encoder": (
        ring(0.0, 0.0, 3.0),
        stroke((-1.8, 0.8), (-1.0, 0.8), (-1.0, -0.8), (0.0, -0.8), (0.0, 0.8), (1.0, 0.8), (1.0, -0.8), (1.8, -0.8)),
    ),
    "arrester": (
        box(-2.0, -3.4, 2.0, 3.4),
        stroke((0.0, -2.4), (0.0, 2.2)),
        outline((-0.7, 1.0), (0.7, 1.0), (0.0, 2.4)),
    ),
    "fan": (ring(0.0, 0.0, 3.2), arc(-1.3, 0.0, 1.3, 0.0, 360.0, flat=0.5), arc(1.3, 0.0, 1.3, 0.0, 360.0, flat=0.5)),
    "pump": (ring(0.0, 0.0, 3.2), outline((3.2, 0.0), (-1.6, -2.7), (-1.6, 2.7))),
    "motor": (Text(0.0, 1.5, "M", 4.5, "middle"),),
    "motor-3": (Text(0.0, 0.0, "M", 4.5, "middle"), Text(0.0, 3.4, "3~", 2.5, "middle")),
    "motor-1": (Text(0.0, 0.0, "M", 4.5, "middle"), Text(0.0, 3.4, "1~", 2.5, "middle")),
    "motor-dc": (Text(0.0, 0.0, "M", 4.5, "middle"), *_equals(0.0, 2.4)),
    "motor-step": (Text(0.0, -0.3, "M", 4.0, "middle"), _STAIRS),
    "motor-servo": (Text(0.0, -0.3, "MS", 3.5, "middle"), Text(0.0, 3.4, "3~", 2.5, "middle")),
    "temperature": (Text(0.0, 1.5, "θ", 4.5, "middle"),),
    "chopper": (
        box(-3.0, 0.4, 3.0, 2.4),
        stroke((-3.0, -1.2), (-0.8, -1.2), (1.2, -2.6)),
        stroke((1.2, -1.2), (3.0, -1.2)),
    ),
    "outlet": (
        arc(0.0, 1.2, 2.6, 180.0, 360.0),
        stroke((-2.2, -1.4), (2.2, -1.4)),
        stroke((0.0, -1.4), (0.0, -3.4)),
    ),
    "curtain": (
        *(stroke((x, -3.0), (x, 3.0)) for x in (-3.0, 3.0)),
        *(stroke((-2.4, y), (2.0, y), pen=Pen.HAIR) for y in (-2.0, 0.0, 2.0)),
        *(stroke((1.2, y - 0.5), (2.0, y), (1.2, y + 0.5), pen=Pen.HAIR) for y in (-2.0, 0.0, 2.0)),
    ),
    "resistor": (stroke((-3.5, 0.0), (-2.5, 0.0)), box(-2.5, -1.0, 2.5, 1.0), stroke((2.5, 0.0), (3.5, 0.0))),
    "zigzag": (
        stroke(
            (-3.5, 0.0), (-3.0, 0.0), *((x - 2.5, 1.5 if x % 2 else -1.5) for x in range(6)), (3.0, 0.0), (3.5, 0.0)
        ),
    ),
    "heat": (box(-3.0, -1.2, 3.0, 1.2), *(stroke((x, -1.2), (x, 1.2)) for x in (-1.5, 0.0, 1.5))),
}

#: The protective earth in its circle, hung from (0, 0) to the right; and a frame or chassis.
PROTECTIVE_EARTH: tuple[Shape, ...] = (
    ring(3.2, 0.0, 2.0),
    stroke((0.0, 0.0), (2.6, 0.0)),
    stroke((2.6, -1.4), (2.6, 1.4)),
    stroke((3.4, -1.0), (3.4, 1.0)),
    stroke((4.2, -0.5), (4.2, 0.5)),
)
GROUND: tuple[Shape, ...] = (
    stroke((0.0, 0.0), (2.6, 0.0)),
    stroke((2.6, -1.7), (2.6, 1.7)),
    stroke((3.4, -1.1), (3.4, 1.1)),
    stroke((4.2, -0.5), (4.2, 0.5)),
)
FRAME: tuple[Shape, ...] = (
    stroke((0.0, 0.0), (2.6, 0.0)),
    stroke((2.6, -1.8), (2.6, 1.8)),
    stroke((2.6, -1.8), (4.2, -0.8)),
    stroke((2.6, 0.0), (4.2, 1.0)),
)
