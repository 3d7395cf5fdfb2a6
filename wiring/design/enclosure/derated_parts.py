"""What the heat of a cabinet takes away: current of conductors, and of supplies that would do in cooler air."""

from __future__ import annotations

from wiring.design.conductor.conductors import Loading
from wiring.design.conductor.place import is_outside
from wiring.design.supply.power import Power
from wiring.design.supply.supplies import available
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.enclosure import highest_inside


def useless_conductors(loading: Loading) -> list[str]:
    """Conductors that may carry nothing at all in the air around them, in the order of their names."""
    return [
        name
        for name, figure in loading.figures.items()
        if isinstance(figure.ampacity, Limit) and figure.ampacity.value <= 0.0
    ]


def conductors_lost_to_heat(loading: Loading) -> list[str]:
    """Those of them that the heat of the cabinet, or the air that it stands in, is to blame for."""
    if not loading.cabinet.is_overheated:
        return []
    machine = loading.machine
    all_of_them = machine.ambient_c > highest_inside("electronic").value
    found = useless_conductors(loading)
    return [name for name in found if all_of_them or not is_outside(machine, machine.circuit.conductor[name])]


def supplies_lost_to_heat(power: Power) -> list[str]:
    """Supplies that are overloaded in the hot cabinet and would not be at the limit of its air."""
    if not power.cabinet.is_overheated:
        return []
    limit_c = highest_inside("electronic").value
    return [
        name
        for name, rows in power.supplies.items()
        if any(row.current_a > row.available_a for row in rows.values())
        and all(row.current_a <= available(row.rated_a, power.machine.parts[name], limit_c) for row in rows.values())
    ]
