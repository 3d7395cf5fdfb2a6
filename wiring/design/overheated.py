"""What the heat of a cabinet takes away: current of conductors, and of supplies that would do in cooler air."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.design.conductors import is_outside
from wiring.design.supplies import available
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.enclosure import highest_inside

if TYPE_CHECKING:
    from wiring.design.design import Design


def is_overheated(design: Design) -> bool:
    """Whether the air in the cabinet is warmer than electronic devices stand."""
    inside = design.inside
    return inside.heat_w > 0.0 and inside.rise_k is not None and inside.inside_c > highest_inside("electronic").value


def useless_conductors(design: Design) -> list[str]:
    """Conductors that may carry nothing at all in the air around them, in the order of their names."""
    return [
        name
        for name, figure in design.conductors.items()
        if isinstance(figure.ampacity, Limit) and figure.ampacity.value <= 0.0
    ]


def conductors_lost_to_heat(design: Design) -> list[str]:
    """Those of them that the heat of the cabinet, or the air that it stands in, is to blame for."""
    if not is_overheated(design):
        return []
    all_of_them = design.ambient_c > highest_inside("electronic").value
    found = useless_conductors(design)
    return [name for name in found if all_of_them or not is_outside(design, design.circuit.conductor[name])]


def supplies_lost_to_heat(design: Design) -> list[str]:
    """Supplies that are overloaded in the hot cabinet and would not be at the limit of its air."""
    if not is_overheated(design):
        return []
    limit_c = highest_inside("electronic").value
    return [
        name
        for name, rows in design.supplies.items()
        if any(row.current_a > row.available_a for row in rows.values())
        and all(row.current_a <= available(row.rated_a, design.parts[name], limit_c) for row in rows.values())
    ]
