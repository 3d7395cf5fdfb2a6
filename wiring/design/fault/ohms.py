"""What stands in the way of a short-circuit current: resistance of paths cold and hot, reactance where it counts."""

from __future__ import annotations

from functools import cache, partial

from wiring.circuit.model import Conductor
from wiring.design.conductor.place import insulation_c
from wiring.design.conductor.wire_resistance import conductor_ohm, length_m
from wiring.design.fault.paths import FaultPaths
from wiring.design.machine import Machine
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.voltage_drop_formulas import REACTANCE_OHM_PER_M
from wiring.solver.lowering import ConductingElement
from wiring.solver.network import Scalar

#: Conductors are taken at this temperature for the highest current [°C].
COLD_C = tabled("common", "conductor_cold").value
#: Up to this cross-section a conductor is a resistance alone [mm2]: its reactance adds 0.2 % to the impedance there.
RESISTIVE_MM2 = tabled("common", "reactance_counts_above").value
_LEAST_OHM = 1e-6


class FaultOhms:
    """Impedance of every path, cold and hot [ohm]: thick conductors without direct current with their reactance."""

    def __init__(self, machine: Machine, paths: FaultPaths) -> None:
        self.machine = machine
        self.reactive = {
            conductor.id
            for conductor in machine.circuit.conductors
            if _is_thick(conductor) and not _on_dc(conductor, paths)
        }
        self.resistance = cache(partial(conductor_ohm, machine.book))

    def at(self, edge: ConductingElement, temperature_c: float) -> float:
        """Resistance of a path at a temperature of its conductor [ohm]."""
        wire = edge.source
        if not isinstance(wire, Conductor) or wire.size is None:
            return edge.ohm
        return max(self.resistance(wire, temperature_c), _LEAST_OHM)

    def cold(self, edge: ConductingElement) -> Scalar:
        """Impedance for the highest current [ohm]."""
        return self.with_reactance(edge, self.at(edge, COLD_C))

    def hot(self, edge: ConductingElement) -> Scalar:
        """Impedance for the lowest current: at the temperature of the insulation [ohm]."""
        wire = edge.source
        warm_c = insulation_c(self.machine, wire) if isinstance(wire, Conductor) else COLD_C
        return self.with_reactance(edge, self.at(edge, warm_c))

    def with_reactance(self, edge: ConductingElement, ohm: float) -> Scalar:
        """A resistance, with the reactance of its conductor where that counts [ohm]."""
        wire = edge.source
        if edge.id not in self.reactive or not isinstance(wire, Conductor):
            return ohm
        return complex(ohm, REACTANCE_OHM_PER_M * length_m(wire))


def _is_thick(conductor: Conductor) -> bool:
    return conductor.size is not None and conductor.size.area_mm2 > RESISTIVE_MM2


def _on_dc(conductor: Conductor, paths: FaultPaths) -> bool:
    """Whether a conductor carries direct current: a source of it reaches either end."""
    reached = (paths.hot.get(end) or paths.returns.get(end) for end in conductor.ends)
    return any(one is not None and paths.origins[one.origin].kind == "DC" for one in reached)
