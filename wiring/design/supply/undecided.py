"""Parts without an operating point, and the source in front of a part."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.parts.elements import Draw, Input
from wiring.solver.operating import Layer


def parts_without_point(layer: Layer) -> list[str]:
    """The parts whose loads have neither current nor voltage."""
    pairs = zip(layer.assembled.power_keys, layer.solution.power_a, strict=True)
    return sorted({key[0] for key, amps in pairs if amps is None})


def source_in_front(design: Design, part: str) -> str:
    """The source that feeds a part; "" where none reaches it."""
    paths = design.short_circuits.paths
    for element in design.parts[part].of(Draw, Input):
        assert isinstance(element, Draw | Input)
        for end in (element.a, element.b):
            reached = paths.hot.get((part, end))
            if reached is not None:
                return paths.origins[reached.origin].part
    return ""
