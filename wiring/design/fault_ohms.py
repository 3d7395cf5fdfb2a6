"""What stands in the way of a short-circuit current: resistance of paths cold and hot, reactance where it counts."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor
from wiring.design.conductors import ASSUMED_LENGTH_M, ASSUMED_OHM_PER_M, insulation_c
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.drop import REACTANCE_OHM_PER_M
from wiring.solver.lowering import PathEdge

if TYPE_CHECKING:
    from wiring.design.design import Design

#: Conductors are taken at this temperature for the highest current [°C] (IEC 60909-0, from memory).
COLD_C = 20.0
#: Up to this cross-section a conductor is a resistance alone [mm2] (BS 7671 appendix 4, from memory): at 16 mm2 its
#: reactance of 0.08 mohm/m adds 0.2 % to the impedance.
RESISTIVE_MM2 = 16.0
_LEAST_OHM = 1e-6


class FaultOhms:
    """Resistance of every path, cold and hot [ohm]; at mains frequency thick conductors with their reactance."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.has_thick = any(_is_thick(conductor) for conductor in design.circuit.conductors)

        @cache
        def per_m(size: object, conductor_class: str, temperature_c: float) -> float:
            found = design.book.resistance_ohm_per_m(size, conductor_class, temperature_c)  # type: ignore[arg-type]
            return found.value if isinstance(found, Limit) else ASSUMED_OHM_PER_M

        self.per_m = per_m

    def at(self, edge: PathEdge, temperature_c: float) -> float:
        """Resistance of a path at a temperature of its conductor [ohm]."""
        wire = edge.source
        if not isinstance(wire, Conductor) or wire.size is None:
            return edge.ohm
        length = ASSUMED_LENGTH_M if wire.length_m is None else wire.length_m
        return max(self.per_m(wire.size, wire.conductor_class or "5", temperature_c) * length, _LEAST_OHM)

    def cold(self, edge: PathEdge) -> float:
        """Resistance for the highest current [ohm]."""
        return self.at(edge, COLD_C)

    def hot(self, edge: PathEdge) -> float:
        """Resistance for the lowest current: at the temperature of the insulation [ohm]."""
        wire = edge.source
        return self.at(edge, insulation_c(self.design, wire) if isinstance(wire, Conductor) else COLD_C)

    def cold_alternating(self, edge: PathEdge) -> complex:
        """Impedance for the highest current at mains frequency [ohm]."""
        return complex(self.cold(edge), _reactance(edge))

    def hot_alternating(self, edge: PathEdge) -> complex:
        """Impedance for the lowest current at mains frequency [ohm]."""
        return complex(self.hot(edge), _reactance(edge))


def _is_thick(conductor: Conductor) -> bool:
    return conductor.size is not None and conductor.size.area_mm2 > RESISTIVE_MM2


def _reactance(edge: PathEdge) -> float:
    wire = edge.source
    if not isinstance(wire, Conductor) or not _is_thick(wire):
        return 0.0
    return REACTANCE_OHM_PER_M * (ASSUMED_LENGTH_M if wire.length_m is None else wire.length_m)
