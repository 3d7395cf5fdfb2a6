"""The size of conductor that a current asks for where the conductor lies."""

from __future__ import annotations

from math import inf

from wiring.circuit.model import Conductor
from wiring.design.conductor.conductors import ConductorFigure
from wiring.design.machine import Machine
from wiring.quantities import WireSize
from wiring.rulebooks.citation import Limit


def size_that_carries(
    machine: Machine, figure: ConductorFigure, amps: float, below_mm2: float = inf
) -> WireSize | None:
    """The smallest size of the rulebook that carries a current where a conductor lies; None where none does that is
    thinner than `below_mm2`."""

    def carries(size: WireSize) -> bool:
        if size.area_mm2 >= below_mm2:
            return False
        limit = machine.book.ampacity(size, figure.insulation_c, figure.laying)
        return isinstance(limit, Limit) and limit.value >= amps

    return machine.book.smallest_size(carries)


def size_words(machine: Machine, area_mm2: float) -> str:
    """That size in words; the cross-section itself where the tables end below it."""
    size = machine.book.size_of_area(area_mm2)
    return size.text if size else f"{area_mm2:.3g} mm2"


def range_words(machine: Machine, low_mm2: float, high_mm2: float) -> tuple[str, str]:
    """Both ends of what a terminal takes: the sizes of a North American book that it holds, else the cross-sections."""
    sizes = machine.book.standard_sizes() if machine.book.name == "na" else ()
    held = [size.text for size in sizes if low_mm2 * (1 - 1e-6) <= size.area_mm2 <= high_mm2 * (1 + 1e-6)]
    return (held[0], held[-1]) if held else (f"{low_mm2:.3g}", f"{high_mm2:.3g} mm2")


def is_below(conductor: Conductor, area_mm2: float) -> bool:
    """Whether a conductor is thinner; one of unknown size is not."""
    return conductor.size is not None and conductor.size.area_mm2 < area_mm2 * (1.0 - 1e-6)
