"""What moves a contact: drawn about (0, 0), where the mechanical link leaves it downwards. IEC 60617, from memory."""

from __future__ import annotations

from wiring.drawing.shapes import Line, Pen, Shape, Text
from wiring.drawing.symbols.glyph import arc, box, outline, ring, solid, stroke

_BUTTON: tuple[Shape, ...] = (stroke((-2.0, 1.0), (-2.0, 0.0), (2.0, 0.0), (2.0, 1.0)),)
_MUSHROOM: tuple[Shape, ...] = (arc(0.0, 0.0, 2.2, 180.0, 360.0), stroke((-2.2, 0.0), (2.2, 0.0)))
_LATCH: tuple[Shape, ...] = (outline((-0.9, 1.2), (0.9, 1.2), (0.0, 2.2)),)
_FORCED: tuple[Shape, ...] = (
    ring(4.0, 1.2, 1.1),
    stroke((3.3, 1.2), (4.7, 1.2)),
    solid((4.2, 0.8), (4.75, 1.2), (4.2, 1.6)),
)
_SELECTOR: tuple[Shape, ...] = (stroke((-2.0, 1.0), (-2.0, 0.0), (2.0, 0.0), (2.0, -1.0)),)

ACTUATORS: dict[str, tuple[Shape, ...]] = {
    "button": _BUTTON,
    "mushroom": (*_MUSHROOM, *_LATCH, *_FORCED),
    "selector": _SELECTOR,
    "key": (ring(0.0, -0.9, 0.9), stroke((0.0, 0.0), (0.0, 0.6), (0.9, 0.6))),
    "foot": (stroke((-2.4, -1.2), (1.6, 0.0), (2.4, 0.0)), stroke((-2.4, -1.2), (-2.4, -0.2))),
    "guard": (
        stroke((-1.6, -1.2), (-1.6, 0.0), (1.6, 0.0), (1.6, -1.2)),
        stroke((-0.7, -1.4), (-0.7, -0.6), (0.7, -0.6), (0.7, -1.4)),
    ),
    "pressure": (box(-1.6, -2.6, 1.6, 0.0), Text(0.0, -0.8, "p", 2.5, "middle")),
    "temperature": (box(-1.6, -2.6, 1.6, 0.0), Text(0.0, -0.5, "θ", 2.5, "middle")),
    "float": (ring(0.0, -1.0, 1.0), stroke((-2.4, -1.0), (-1.0, -1.0)), stroke((1.0, -1.0), (2.4, -1.0))),
    "trip": (
        box(-2.2, -2.2, 2.2, 0.0),
        stroke((-1.4, -0.6), (-0.6, -0.6), (-0.6, -1.6), (0.6, -1.6), (0.6, -0.6), (1.4, -0.6)),
    ),
    "handle": (stroke((-1.8, 0.0), (1.8, 0.0)), solid((-0.5, -1.0), (0.5, -1.0), (0.0, 0.0))),
    "residual": (box(-1.8, -2.4, 1.8, 0.0), Line(((-1.0, -0.5), (1.0, -0.5), (0.0, -2.0)), Pen.SYMBOL, True)),
}
