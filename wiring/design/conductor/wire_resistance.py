"""Resistance of a conductor of the plan, with the values taken where the plan gives none."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.rulebooks.book import Rulebook
from wiring.rulebooks.citation import Limit

#: Length and resistance taken for the network where a plan does not give them; what rests on them is not judged.
ASSUMED_LENGTH_M = 1.0
ASSUMED_OHM_PER_M = 0.02


def length_m(conductor: Conductor) -> float:
    """Length of a conductor [m], the assumed one where the plan gives none."""
    return ASSUMED_LENGTH_M if conductor.length_m is None else conductor.length_m


def conductor_ohm(book: Rulebook, conductor: Conductor, temperature_c: float) -> float:
    """Resistance of a conductor at a temperature [ohm]; assumed values where its size or length is not given."""
    if conductor.size is None:
        return ASSUMED_OHM_PER_M * length_m(conductor)
    per_m = book.resistance_ohm_per_m(conductor.size, conductor.conductor_class or "5", temperature_c)
    return (per_m.value if isinstance(per_m, Limit) else ASSUMED_OHM_PER_M) * length_m(conductor)
