"""Two-ended symbols after IEC 60617 (from memory), drawn along a horizontal current path.

A blade turns about its right end and moves upwards when it is operated, so that a make contact hangs under its line
and a break contact lies over it (IEC 61082, from memory).
"""

from __future__ import annotations

from wiring.drawing.shapes import Shape
from wiring.drawing.symbols.glyph import Glyph, arc, box, joined, outline, ring, solid, stroke

_WIDTH, _FIXED, _HINGE = 10.0, 2.5, 7.5


def _make(*more: Shape) -> Glyph:
    blade = stroke((_HINGE, 0.0), (_FIXED + 0.3, 1.9))
    shut = stroke((_HINGE, 0.0), (_FIXED, 0.0))
    return joined(_WIDTH, (blade, *more), (_FIXED, _HINGE), link_x=5.0, link_y=0.98, open=(blade,), closed=(shut,))


def _break(*more: Shape) -> Glyph:
    rest = stroke((_FIXED, 0.0), (_FIXED, -2.2))
    blade = stroke((_HINGE, 0.0), (_FIXED - 0.5, -2.1))
    lifted = stroke((_HINGE, 0.0), (_FIXED, -3.6))
    body = (_FIXED, _HINGE)
    return joined(_WIDTH, (rest, blade, *more), body, link_x=5.0, link_y=-0.95, open=(lifted,), closed=(blade,))


def _switched_on(*more: Shape, width: float = _WIDTH, right: float = _HINGE) -> Glyph:
    """A pole that is closed until its device opens it, and drawn so."""
    blade, shut = stroke((_HINGE, 0.0), (_FIXED + 0.3, 1.9)), stroke((_HINGE, 0.0), (_FIXED, 0.0))
    return joined(width, (shut, *more), (_FIXED, right), link_x=5.0, open=(blade,), closed=(shut,))


def _cross(x: float, y: float, r: float = 0.8) -> tuple[Shape, ...]:
    return (stroke((x - r, y - r), (x + r, y + r)), stroke((x - r, y + r), (x + r, y - r)))


def _roller(x: float, y: float, way: float) -> Shape:
    return outline((x - 1.1, y), (x + 1.1, y - 0.25 * way), (x, y + 1.2 * way))


_BAR = stroke((_FIXED, -1.1), (_FIXED, 1.1))
_LOAD_MARK = arc(_FIXED - 0.8, 0.0, 0.8, 180.0, 360.0)
#: A thermal and a magnetic release behind the contact of a motor protector.
_RELEASES = (
    stroke((_HINGE, 0.0), (8.6, 0.0)),
    box(8.6, -1.9, 13.0, 1.9),
    stroke((9.4, 0.9), (10.2, 0.9), (10.2, -0.9), (11.4, -0.9), (11.4, 0.9), (12.2, 0.9)),
    stroke((13.0, 0.0), (14.2, 0.0)),
    box(14.2, -1.9, 18.6, 1.9),
    stroke((15.2, -1.0), (15.2, 1.0)),
    stroke((16.4, -1.0), (17.8, 0.0), (16.4, 1.0)),
)
_BUMP = stroke((2.5, 1.0), (4.0, 1.0), (4.0, -1.0), (6.0, -1.0), (6.0, 1.0), (7.5, 1.0))


#: What a screen draws over a device that has opened and has no moving piece of its own.
OPENED = (stroke((3.4, -2.6), (6.6, 2.6)), stroke((3.4, 2.6), (6.6, -2.6)))
_ELEMENT = stroke((2.0, 0.0), (8.0, 0.0))


def _rectangle(half: float, *more: Shape, left: float = 2.5, right: float = 7.5, open: tuple[Shape, ...] = ()) -> Glyph:
    body = box(left, -half, right, half)
    return joined(_WIDTH, (body, *more), (left, right), open=open, closed=(_ELEMENT,) if open else ())


def _diode(*more: Shape) -> Glyph:
    body = (outline((3.0, -1.8), (3.0, 1.8), (7.0, 0.0)), stroke((7.0, -1.8), (7.0, 1.8)))
    return joined(_WIDTH, (*body, *more, stroke((3.0, 0.0), (7.0, 0.0))), (3.0, 7.0))


def _reversed_diode(*more: Shape) -> Glyph:
    body = (outline((7.0, -1.8), (7.0, 1.8), (3.0, 0.0)), stroke((3.0, -1.8), (3.0, 1.8)))
    return joined(_WIDTH, (*body, *more, stroke((3.0, 0.0), (7.0, 0.0))), (3.0, 7.0))


IEC: dict[str, Glyph] = {
    "make": _make(),
    "break": _break(),
    "main-make": _make(_LOAD_MARK),
    "main-break": _break(_LOAD_MARK),
    "static-make": _make(outline((4.2, -3.4), (4.2, -1.4), (5.8, -2.4)), stroke((5.8, -3.4), (5.8, -1.4))),
    "breaker": _switched_on(*_cross(_FIXED, 0.0)),
    "disconnector": _switched_on(_BAR),
    "switch-disconnector": _switched_on(_BAR, ring(_FIXED + 0.6, 0.0, 0.5)),
    "rcd": _switched_on(*_cross(_FIXED, 0.0)),
    "motor-protector": _switched_on(*_cross(_FIXED, 0.0), *_RELEASES, width=21.1, right=18.6),
    "limit-make": _make(_roller(4.6, 1.1, 0.65)),
    "limit-break": _break(_roller(4.6, -1.1, -1.0)),
    "fuse": _rectangle(1.25, _ELEMENT, left=2.0, right=8.0, open=OPENED),
    "electronic-fuse": _rectangle(
        1.7, stroke((3.4, -0.8), (6.6, 0.8)), stroke((3.4, 0.8), (4.4, 0.8)), left=2.0, right=8.0, open=OPENED
    ),
    "thermal": joined(_WIDTH, (box(2.0, -1.9, 8.0, 1.9), _BUMP), (2.0, 8.0), link_x=5.0, link_y=-1.9, open=OPENED),
    "coil": joined(_WIDTH, (box(2.75, -3.4, 7.25, 3.4),), (2.75, 7.25)),
    "coil-on-delay": joined(
        _WIDTH,
        (
            box(2.75, -3.4, 7.25, 3.4),
            box(2.75, -3.4, 7.25, -1.6),
            stroke((2.75, -3.4), (7.25, -1.6)),
            stroke((2.75, -1.6), (7.25, -3.4)),
        ),
        (2.75, 7.25),
    ),
    "coil-off-delay": joined(
        _WIDTH,
        (box(2.75, -3.4, 7.25, 3.4), solid((2.75, -3.4), (7.25, -3.4), (7.25, -1.6), (2.75, -1.6))),
        (2.75, 7.25),
    ),
    "valve": joined(_WIDTH, (box(2.75, -3.4, 7.25, 3.4), stroke((2.75, 1.7), (7.25, -1.7))), (2.75, 7.25)),
    "brake": joined(
        _WIDTH,
        (
            box(2.75, -3.4, 7.25, 0.8),
            stroke((3.6, 2.2), (6.4, 2.2)),
            arc(5.0, 5.2, 2.6, 230.0, 310.0),
            stroke((5.0, 0.8), (5.0, 2.2)),
        ),
        (2.75, 7.25),
    ),
    "lamp": joined(_WIDTH, (ring(5.0, 0.0, 2.5), *_cross(5.0, 0.0, 1.77)), (2.5, 7.5)),
    "resistor": _rectangle(1.0, left=2.0, right=8.0),
    "heater": _rectangle(1.2, *(stroke((x, -1.2), (x, 1.2)) for x in (3.5, 5.0, 6.5)), left=2.0, right=8.0),
    "capacitor": joined(
        _WIDTH,
        (
            stroke((4.5, -2.0), (4.5, 2.0)),
            stroke((5.5, -2.0), (5.5, 2.0)),
            stroke((2.8, -1.3), (3.8, -1.3)),
            stroke((3.3, -1.8), (3.3, -0.8)),
        ),
        (4.5, 5.5),
    ),
    "thermocouple": joined(_WIDTH, (stroke((3.0, 0.0), (5.0, -2.4), (7.0, 0.0)),), (3.0, 7.0)),
    "diode": _diode(),
    "suppressor-diode": _reversed_diode(),
    "suppressor-zener": _reversed_diode(stroke((3.0, -1.8), (2.3, -1.8)), stroke((3.0, 1.8), (3.7, 1.8))),
    "suppressor-varistor": _rectangle(1.0, stroke((3.0, 1.9), (4.0, 1.9), (6.6, -1.9)), left=2.0, right=8.0),
    "suppressor-rc": joined(
        _WIDTH,
        (
            box(1.2, -0.9, 5.0, 0.9),
            stroke((6.6, -1.8), (6.6, 1.8)),
            stroke((7.6, -1.8), (7.6, 1.8)),
            stroke((5.0, 0.0), (6.6, 0.0)),
        ),
        (1.2, 7.6),
    ),
    "load": _rectangle(2.0, stroke((2.0, 2.0), (8.0, -2.0)), left=2.0, right=8.0),
}
IEC["operated-make"] = IEC["make"]
IEC["operated-break"] = IEC["break"]
