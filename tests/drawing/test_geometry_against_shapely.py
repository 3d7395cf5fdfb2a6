"""The zero list once more by another hand: the SVG read with a parser of its own, the geometry by shapely."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from shapely import STRtree
from shapely.geometry import LineString, box

from tests.drawing.drawn import SPECS, drawn_spec
from wiring.drawing.svg import svg_of

_NS = "{http://www.w3.org/2000/svg}"
#: Advance of DejaVu Sans Mono, from its hmtx table: 1233 of 2048 units.
_ADVANCE = 1233 / 2048


def _texts(root: ElementTree.Element):  # type: ignore[no-untyped-def]
    for element in root.iter(f"{_NS}text"):
        size, x, y = (float(element.get(name, "0")) for name in ("font-size", "x", "y"))
        width = len(element.text or "") * _ADVANCE * size
        x -= {"start": 0.0, "middle": width / 2, "end": width}[element.get("text-anchor", "start")]
        yield element.text, box(x + 0.1, y - 0.72 * size, x + width - 0.1, y - 0.05)


def _lines(root: ElementTree.Element, kind: str):  # type: ignore[no-untyped-def]
    for group in root.iter(f"{_NS}g"):
        if group.get("class") == kind:
            for element in group.iter(f"{_NS}polyline"):
                numbers = [float(n) for n in re.split("[ ,]", element.get("points", ""))]
                yield group.get("data-id"), LineString(list(zip(numbers[0::2], numbers[1::2], strict=True)))


def _bodies(root: ElementTree.Element):  # type: ignore[no-untyped-def]
    for group in root.iter(f"{_NS}g"):
        if group.get("data-body"):
            yield group.get("data-id"), box(*(float(n) for n in group.get("data-body", "").split())).buffer(-0.1)


@pytest.mark.parametrize("name", SPECS)
def test_zero_list(name: str) -> None:
    wires_seen = 0
    for sheet in drawn_spec(name).sheets:
        root = ElementTree.fromstring(svg_of(sheet))
        texts = list(_texts(root))
        wires = list(_lines(root, "wire"))
        wires_seen += len(wires)
        tree = STRtree([shape for _, shape in texts])
        for n, (text, shape) in enumerate(texts):
            near = [texts[k][0] for k in tree.query(shape, predicate="intersects") if k != n]
            assert not near, f"sheet {sheet.number}: {text!r} on {near}"
        for wire, line in wires:
            hit = [texts[k][0] for k in tree.query(line, predicate="intersects")]
            assert not hit, f"sheet {sheet.number}: wire {wire} through {hit}"
        for wire, line in wires:
            through = [part for part, body in _bodies(root) if body.intersects(line)]
            assert not through, f"sheet {sheet.number}: wire {wire} through {through}"
        for n, (one, line) in enumerate(wires):
            for two, other in wires[n + 1 :]:
                shared = line.intersection(other).length
                assert shared < 0.05, f"sheet {sheet.number}: {one} and {two} share {shared:.2f} mm"
    assert wires_seen > 0
