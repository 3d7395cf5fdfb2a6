"""Ways to mend that several rules offer, found by asking the rulebook again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor
from wiring.design.conductors import ConductorFigure
from wiring.quantities import WireSize
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.conductors import ladder

if TYPE_CHECKING:
    from wiring.design.design import Design


def size_that_carries(design: Design, conductor: Conductor, figure: ConductorFigure, amps: float) -> WireSize | None:
    """The smallest size of the rulebook's ladder that carries a current where this conductor lies, or None."""
    for size in ladder(design.plan.rulebook):
        if conductor.size is not None and size.area_mm2 <= conductor.size.area_mm2:
            continue
        limit = design.book.ampacity(size, figure.insulation_c, figure.laying)
        if isinstance(limit, Limit) and limit.value >= amps:
            return size
    return None
