"""The one writer of SVG: it prints a sheet as it stands and chooses nothing."""

from __future__ import annotations

import re
from html import escape as _escaped

from wiring.drawing.shapes import STROKE, Group, Line, Mark, Oval, Pen, Shape, Sheet, Text

FONT = "DejaVu Sans Mono"


#: What XML 1.0 does not allow in any form.
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def escape(text: str) -> str:
    """The text as XML writes it, with a sign of replacement for what XML cannot hold."""
    return _escaped(_FORBIDDEN.sub("\ufffd", text))


def number(value: float) -> str:
    """A coordinate in mm to a hundredth, without needless zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _points(line: Line) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in line.points)


def _pen(pen: Pen, filled: bool) -> str:
    width, dash = STROKE[pen]
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return f'fill="{"#000" if filled else "none"}" stroke="#000" stroke-width="{width}"{dashes}'


def _facts(shape: Line | Oval) -> str:
    """What a screen needs to know of a stroke: its terminal, and the position of a contact in which it is seen."""
    facts = (("of", shape.of), ("when", shape.when))
    return "".join(f' data-{name}="{escape(value)}"' for name, value in facts if value)


def _shape(shape: Shape, live: bool) -> str:
    match shape:
        case Line():
            name = "polygon" if shape.closed else "polyline"
            facts = _facts(shape) if live else ""
            return f'<{name} points="{_points(shape)}" {_pen(shape.pen, shape.filled)}{facts}/>'
        case Oval():
            place = f'cx="{number(shape.x)}" cy="{number(shape.y)}"'
            radii = f'rx="{number(shape.rx)}" ry="{number(shape.ry)}"'
            return f"<ellipse {place} {radii} {_pen(shape.pen, shape.filled)}{_facts(shape) if live else ''}/>"
        case Text():
            bold = ' font-weight="bold"' if shape.bold else ""
            anchor = f' text-anchor="{shape.anchor}"' if shape.anchor != "start" else ""
            place = f'x="{number(shape.x)}" y="{number(shape.y)}" font-size="{number(shape.size)}"'
            return f"<text {place}{anchor}{bold}>{escape(shape.text)}</text>"
        case Mark():
            place = f'cx="{number(shape.x)}" cy="{number(shape.y)}" r="0"'
            return f'<circle class="pin" {place} data-node="{escape(shape.node)}"/>'


def _group(group: Group, live: bool) -> str:
    data = "".join(f' data-{name}="{escape(value)}"' for name, value in group.data)
    name = f' data-id="{escape(group.id)}"' if group.id else ""
    body = "\n".join(_shape(shape, live) for shape in group.shapes)
    return f'<g class="{group.kind}"{name}{data}>\n{body}\n</g>'


def svg_of(sheet: Sheet, *, live: bool = False) -> str:
    """The sheet as one SVG file in millimetres; `live` strokes say what they carry, for a screen that colours them."""
    size = f'width="{number(sheet.width)}mm" height="{number(sheet.height)}mm"'
    box = f'viewBox="0 0 {number(sheet.width)} {number(sheet.height)}"'
    face = f'font-family="\'{FONT}\', monospace" fill="#000" stroke-linecap="round" stroke-linejoin="round"'
    groups = "\n".join(_group(group, live) for group in sheet.groups if group.shapes)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box} {face} data-sheet="{sheet.number}">\n'
        f"<title>{escape(sheet.title)}</title>\n{groups}\n</svg>\n"
    )
