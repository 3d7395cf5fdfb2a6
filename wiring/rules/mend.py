"""Ways to mend that several rules offer, found by asking the rulebook again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from wiring.design.conductors import WIREWAY_FREE
from wiring.rulebooks.citation import Limit

if TYPE_CHECKING:
    from wiring.design.design import Design


def another_route(design: Design, name: str, amps: float) -> tuple[str, ...]:
    """The way out of a duct in which more conductors lie than may without adjustment, where that alone is enough.

    Source: NFPA 70 376.22(B), 30 conductors.
    """
    figure = design.conductors[name]
    conductor, laying = design.circuit.conductor[name], figure.laying
    crowded = design.plan.rulebook == "na" and laying.kind == "duct" and laying.loaded_conductors > WIREWAY_FREE
    if not crowded or conductor.size is None:
        return ()
    free = design.book.ampacity(conductor.size, figure.insulation_c, replace(laying, loaded_conductors=1))
    if not isinstance(free, Limit) or free.value < amps:
        return ()
    route = f"`{conductor.route}`" if conductor.route else "the duct"
    return (
        f"Lead conductors over another route, so that {route} holds {WIREWAY_FREE} loaded ones or fewer "
        f"(now {laying.loaded_conductors}): {conductor.size.text} then carries {free.value:.3g} A.",
    )
