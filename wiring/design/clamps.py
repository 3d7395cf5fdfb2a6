"""The sizes that the terminals at a conductor's ends take."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor, Node
from wiring.design.design import Design
from wiring.parts.passive import Metalwork

#: Sizes of two systems are taken for equal within this share.
_ROUNDING = 1e-3


def clamps_of(design: Design, conductor: Conductor) -> Iterator[tuple[Node, tuple[float, float] | None]]:
    """The terminals at its ends, each with the sizes that it takes [mm2]; None where they are not known."""
    for node in conductor.ends:
        part = design.parts.get(node[0])
        terminal = part.terminals.get(node[1]) if part else None
        if part is not None and terminal is not None and not isinstance(part.data, Metalwork):
            yield node, terminal.sizes_mm2


def fits_clamp(area: float, limits: tuple[float, float]) -> bool:
    return limits[0] * (1 - _ROUNDING) <= area <= limits[1] * (1 + _ROUNDING)
