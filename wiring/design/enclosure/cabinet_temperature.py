"""Heat in the cabinet and the temperature that it leads to, in the state that heats most."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.design.enclosure.heat_sources import heat_by_part
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.loads import Fan
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Source
from wiring.rulebooks.enclosure import Enclosure, altitude_offset, inside_temperature

_SECONDS_PER_HOUR = 3600.0


class Inside(Struct, frozen=True):
    """The cabinet in its hottest state. Without the cabinet's data `rise_k` is None and `inside_c` the ambient.

    `device_c` is the temperature that devices are derated for: thin air above 2000 m counts as warmer air.
    `error_k` is the stated error of `inside_c`, and `source` where both stand. `missing` says in words what would be
    needed to compute the rise, empty when it was computed.
    """

    state: str
    heat_w: float
    parts_w: Mapping[str, float]
    rise_k: float | None
    inside_c: float
    device_c: float
    missing: str
    source: Source | None = None
    error_k: float = 0.0


def fan_parts(machine: Machine) -> list[Part]:
    """The parts that exchange air with the outside of the cabinet."""
    return [
        part
        for part in machine.parts.values()
        if isinstance(part.data, Fan) and part.data.airflow is not None and part.data.at == "door"
    ]


def fan_m3_h(machine: Machine) -> float:
    """Air that fans exchange with the outside [m3/h]: what the cabinet's `fan` says, else the fans in its door.

    A builder who gives both describes one fan twice: the cabinet's figure is the one with the filter in place. A fan
    that stands inside moves the air there and brings in no other.
    """
    own = machine.plan.enclosure.fan if machine.plan.enclosure else None
    if own is not None:
        return own.airflow * _SECONDS_PER_HOUR
    flows = [getattr(part.data, "airflow", 0.0) for part in fan_parts(machine)]
    return float(sum(flows)) * _SECONDS_PER_HOUR


def described(machine: Machine) -> Enclosure | str:
    """The cabinet as the rulebook wants it, or what is missing."""
    given = machine.plan.enclosure
    if given is None:
        return "the cabinet (`enclosure: {size: …, material: …, mounting: …}`)"
    keys = (("size", given.size), ("material", given.material), ("mounting", given.mounting))
    absent = [key for key, value in keys if value is None]
    if absent or given.size is None or given.material is None or given.mounting is None:
        return f"{' and '.join(absent)} of the cabinet (`enclosure`)"
    return Enclosure(given.size.width, given.size.height, given.size.depth, given.material, given.mounting)


def inside_cabinet(machine: Machine, operation: Operation) -> Inside:
    """Heat and temperature in the cabinet of a machine."""
    by_state = {state: heat_by_part(machine, operation, state) for state in operation.state_entries}
    state = max(by_state, key=lambda name: (sum(by_state[name].values()), name))
    parts_w = by_state[state]
    heat_w = sum(parts_w.values())
    altitude_m = max(machine.plan.site.altitude or 0.0, 0.0)
    offset_k = altitude_offset(altitude_m).value
    cabinet = described(machine)
    if isinstance(cabinet, str):
        return Inside(state, heat_w, parts_w, None, machine.ambient_c, machine.ambient_c + offset_k, cabinet)
    found = inside_temperature(cabinet, heat_w, machine.ambient_c, altitude_m, fan_m3_h(machine))
    if isinstance(found, NotTabled):
        return Inside(state, heat_w, parts_w, None, machine.ambient_c, machine.ambient_c + offset_k, found.reason)
    device_c, source = found.inside_c + offset_k, found.limit.source
    return Inside(state, heat_w, parts_w, found.rise_k, found.inside_c, device_c, "", source, found.error_k)
