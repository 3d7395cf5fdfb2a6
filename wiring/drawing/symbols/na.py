"""Two-ended symbols as North American machine drawings show them, where they differ from IEC 60617.

Ladder practice after NFPA 79 annex and NEMA ICS 19, from memory: contacts as parallel bars, coils as circles,
operated contacts with open circles.
"""

from __future__ import annotations

from wiring.drawing.shapes import Pen, Shape
from wiring.drawing.symbols.glyph import Glyph, arc, box, joined, outline, ring, stroke
from wiring.drawing.symbols.iec import OPENED

_WIDTH = 10.0
_BARS = (stroke((4.1, -1.9), (4.1, 1.9)), stroke((5.9, -1.9), (5.9, 1.9)))
_THICK = (stroke((4.1, -2.4), (4.1, 2.4), pen=Pen.POWER), stroke((5.9, -2.4), (5.9, 2.4), pen=Pen.POWER))
_POSTS = (ring(2.6, 0.0, 0.5), ring(7.4, 0.0, 0.5))


def _bars(*more: Shape, bars: tuple[Shape, ...] = _BARS) -> Glyph:
    return joined(_WIDTH, (*bars, *more), (4.1, 5.9), link_x=5.0, closed=(stroke((4.1, 0.0), (5.9, 0.0)),))


def _posts(*shown: Shape, open: Shape, closed: Shape, link_y: float = 0.0) -> Glyph:
    ends = (2.1, 7.9)
    return joined(_WIDTH, (*_POSTS, *shown), ends, link_x=5.0, link_y=link_y, open=(open,), closed=(closed,))


def _hinged(tip_y: float, *more: Shape) -> Glyph:
    blade = stroke((6.9, 0.0 if tip_y > 0 else -0.3), (2.4, tip_y))
    shut = stroke((6.9, 0.0), (3.1, 0.0))
    lifted = stroke((6.9, -0.3), (2.4, -2.6))
    positions = {"open": blade, "closed": shut} if tip_y > 0 else {"open": lifted, "closed": blade}
    return _posts(blade, *more, link_y=tip_y * 0.5, **positions)


def _switch() -> Glyph:
    """The blade of a main switch, closed as the machine has it; the arc at its first post tells it from a contact."""
    blade, shut = stroke((6.9, 0.0), (2.4, 1.9)), stroke((6.9, 0.0), (3.1, 0.0))
    return _posts(shut, arc(2.6, 0.0, 1.3, 100.0, 260.0), open=blade, closed=shut)


def _arced(*more: Shape, width: float = _WIDTH, right: float = 7.5) -> Glyph:
    bow, raised = arc(5.0, 0.4, 2.7, 200.0, 340.0), arc(5.0, -1.4, 2.7, 200.0, 340.0)
    return joined(width, (bow, *more), (2.5, right), link_x=5.0, link_y=-2.3, open=(raised,), closed=(bow,))


#: Heater and magnetic release behind the bow of a motor protector.
_RELEASES = (
    stroke((7.5, 0.0), (8.8, 0.0)),
    arc(9.9, 0.0, 1.1, 180.0, 450.0),
    arc(12.1, 0.0, 1.1, 90.0, 360.0),
    stroke((13.2, 0.0), (14.2, 0.0)),
    box(14.2, -1.9, 18.6, 1.9),
    stroke((15.2, -1.0), (15.2, 1.0)),
    stroke((16.4, -1.0), (17.8, 0.0), (16.4, 1.0)),
)


_ZIGZAG = stroke((2.0, 0.0), (2.5, -1.2), (3.5, 1.2), (4.5, -1.2), (5.5, 1.2), (6.5, -1.2), (7.5, 1.2), (8.0, 0.0))
_PUSHED_OPEN = stroke((2.2, -1.5), (7.8, -1.5))
_PUSHED_SHUT = stroke((2.2, 0.75), (7.8, 0.75))
_SHUT, _OPEN = stroke((2.2, -0.6), (7.8, -0.6)), stroke((2.2, 1.9), (7.8, 1.9))
_TILDE = (arc(3.75, 0.0, 1.25, 180.0, 360.0), arc(6.25, 0.0, 1.25, 180.0, 0.0))
_HEATER = (arc(3.9, 0.0, 1.1, 180.0, 450.0), arc(6.1, 0.0, 1.1, 90.0, 360.0))
_WEDGE = outline((3.6, 1.5), (5.2, 0.8), (4.3, 1.95))

NA: dict[str, Glyph] = {
    "make": _bars(),
    "break": _bars(stroke((3.4, 1.9), (6.6, -1.9))),
    "main-make": _bars(bars=_THICK),
    "main-break": _bars(stroke((3.4, 1.9), (6.6, -1.9)), bars=_THICK),
    "static-make": _bars(outline((4.2, -3.7), (4.2, -2.3), (5.8, -3.0)), stroke((5.8, -3.7), (5.8, -2.3))),
    "breaker": _arced(),
    "rcd": _arced(),
    "motor-protector": _arced(*_RELEASES, width=21.1, right=18.6),
    "disconnector": _switch(),
    "switch-disconnector": _switch(),
    "operated-make": _posts(_PUSHED_OPEN, open=_PUSHED_OPEN, closed=_SHUT, link_y=-1.5),
    "operated-break": _posts(_PUSHED_SHUT, open=_OPEN, closed=_PUSHED_SHUT, link_y=0.75),
    "limit-make": _hinged(1.7, _WEDGE),
    "limit-break": _hinged(-0.9, outline((3.6, -0.75), (5.4, -0.55), (4.4, 0.5))),
    "fuse": joined(_WIDTH, _TILDE, (2.5, 7.5), open=OPENED),
    "thermal": joined(_WIDTH, _HEATER, (2.8, 7.2), open=OPENED),
    "coil": joined(_WIDTH, (ring(5.0, 0.0, 2.6),), (2.4, 7.6)),
    "coil-on-delay": joined(_WIDTH, (ring(5.0, 0.0, 2.6), stroke((4.1, -0.6), (5.0, 0.9), (5.9, -0.6))), (2.4, 7.6)),
    "coil-off-delay": joined(_WIDTH, (ring(5.0, 0.0, 2.6), stroke((4.1, 0.6), (5.0, -0.9), (5.9, 0.6))), (2.4, 7.6)),
    "valve": joined(
        _WIDTH,
        (
            stroke(
                (2.0, 0.0),
                (2.6, -1.6),
                (3.4, 1.6),
                (4.2, -1.6),
                (5.0, 1.6),
                (5.8, -1.6),
                (6.6, 1.6),
                (7.4, -1.6),
                (8.0, 0.0),
            ),
        ),
        (2.0, 8.0),
    ),
    "lamp": joined(
        _WIDTH,
        (
            ring(5.0, 0.0, 2.0),
            *(stroke((5.0 + 1.5 * x, 1.5 * y), (5.0 + 2.3 * x, 2.3 * y)) for x in (-1, 1) for y in (-1, 1)),
        ),
        (3.0, 7.0),
    ),
    "resistor": joined(_WIDTH, (_ZIGZAG,), (2.0, 8.0)),
    "heater": joined(_WIDTH, (_ZIGZAG, box(2.0, -1.9, 8.0, 1.9)), (2.0, 8.0)),
    "capacitor": joined(
        _WIDTH,
        (
            stroke((4.5, -2.0), (4.5, 2.0)),
            arc(8.0, 0.0, 2.5, 130.0, 230.0),
            stroke((2.8, -1.3), (3.8, -1.3)),
            stroke((3.3, -1.8), (3.3, -0.8)),
        ),
        (4.5, 5.5),
    ),
}
