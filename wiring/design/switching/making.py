"""What contacts close on at once, and what they can make."""

from __future__ import annotations

from math import inf

from wiring.design.design import Design
from wiring.design.switching.capacitor_inrush import CapacitorInrush
from wiring.design.switching.inrush import Inrush
from wiring.parts.base import Part
from wiring.parts.protection import Disconnector
from wiring.parts.sources import Capacitor
from wiring.parts.switching import Contactor
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import MARKED, Limit
from wiring.rulebooks.contacts import making_capacity
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import CONTACTOR_A

#: What every main switch makes, as a multiple of its rated current.
_LEAST_MAKING = tabled("common", "switch_makes").value


def total_inrush_a(rows: list[Inrush]) -> float:
    """What is drawn at once at switching on [A]; what is not known counts nothing."""
    return sum(row.amps or 0.0 for row in rows)


def most_closed_onto(design: Design) -> dict[str, list[Inrush]]:
    """What every main switch and contactor switches on at once, on the line on which that is most.

    A contactor closes on all behind it; a main switch only on what no contactor holds off.
    """
    lines: dict[tuple[str, int], list[Inrush]] = {}
    for inrush in design.inrushes:
        for name in inrush.contacts:
            if inrush.moment in ("", name) or isinstance(design.parts[name].data, Contactor):
                lines.setdefault((name, inrush.line), []).append(inrush)
    most: dict[str, list[Inrush]] = {}
    for (name, _), rows in sorted(lines.items()):
        if name not in most or total_inrush_a(rows) > total_inrush_a(most[name]):
            most[name] = rows
    return most


def capacitor_energy_j(design: Design, row: CapacitorInrush) -> float:
    """What the capacitors take up, and as much again heats contact and wires [J]; infinite where one is unknown."""
    farads = 0.0
    for name in row.parts:
        data = design.parts[name].data
        own = data.capacitance if isinstance(data, Capacitor) else getattr(data, "bus_capacitance", None)
        if own is None:
            return inf
        farads += own
    return 0.5 * farads * row.volts**2


def marked_making_a(part: Part) -> float | None:
    """The current that a contact can close on by its marking [A]; None where it has none."""
    return part.data.making if isinstance(part.data, Disconnector | Contactor) else None


def making_limit(part: Part) -> Limit | None:
    """The current that a contact can close on [A], by its marking or its category; None where neither is known."""
    data, marked_a = part.data, marked_making_a(part)
    if marked_a is not None:
        return Limit(marked_a, "A", MARKED)
    if isinstance(data, Contactor) and data.category and data.rated:
        found = making_capacity(data.rated, data.category)
        return None if isinstance(found, NotTabled) else found
    return None


def always_made_a(part: Part) -> float:
    """The current that every contact of a kind can close on [A]: a main switch what the lowest category asks of it."""
    data = part.data
    return _LEAST_MAKING * (data.rated or 0.0) if isinstance(data, Disconnector) else 0.0


def contactor_that_makes(category: str, amps: float, least_a: float = 0.0) -> tuple[float, float] | None:
    """Rating of the first contactor of a category, of `least_a` or more, that makes so much, and what it makes [A]."""
    for step in (one for one in CONTACTOR_A if one >= least_a):
        found = making_capacity(step, category or "AC-3")
        if isinstance(found, Limit) and found.value >= amps:
            return step, found.value
    return None
