"""What the heat of a cabinet takes away: current of conductors, and of supplies that would do in cooler air."""

from __future__ import annotations

from msgspec.structs import replace

from wiring.circuit.model import Conductor
from wiring.design.conductor.conductors import Loading
from wiring.design.conductor.limits import too_thin
from wiring.design.conductor.place import is_outside
from wiring.design.design import Design
from wiring.design.machine import Machine
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
    return [name for name in found if all_of_them or _in_cabinet_air(machine, machine.circuit.conductor[name])]


def conductors_weakened_by_heat(design: Design) -> list[str]:
    """Conductors in the hot cabinet that carry too much, or are too thin for the device ahead, and would do in air at
    its limit; in the order of their names."""
    if not design.loading.cabinet.is_overheated:
        return []
    by_device = {row.name: 1.0 / row.share for row in too_thin(design) if row.share > 0.0}
    found = []
    for name, figure in design.conductors.items():
        if figure.bound is not None and figure.bound.value > 0.0:
            short = [one for one in (figure.share, by_device.get(name, 0.0)) if one > 1.0]
            cooler = _cooler_ampacity(design, name) / figure.bound.value if short else 0.0
            found += [name] if short and min(short) <= cooler * (1 + 1e-9) else []
    return found


def conductors_in_heat(design: Design) -> frozenset[str]:
    """All of these: what the heat of the cabinet alone makes too thin, or useless."""
    return frozenset((*conductors_lost_to_heat(design.loading), *conductors_weakened_by_heat(design)))


def _cooler_ampacity(design: Design, name: str) -> float:
    """What a conductor may carry in air at the limit of the cabinet [A]; 0 where that does not matter."""
    conductor, figure = design.circuit.conductor[name], design.conductors[name]
    if conductor.size is None or not _in_cabinet_air(design.machine, conductor):
        return 0.0
    laying = replace(figure.laying, ambient_c=highest_inside("electronic").value)
    ampacity = design.book.ampacity(conductor.size, figure.insulation_c, laying)
    return ampacity.value if isinstance(ampacity, Limit) else 0.0


def _in_cabinet_air(machine: Machine, conductor: Conductor) -> bool:
    route = machine.plan.routes.get(conductor.route or "")
    return not is_outside(machine, conductor) and (route is None or route.ambient is None)


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
