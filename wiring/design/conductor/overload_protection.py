"""Overload protection further along, and the largest rated current of a device that a conductor allows.

A motor circuit has two devices. The fuse or breaker at its beginning clears short circuits and may be larger than the
conductors carry; the overload device in front of the motor keeps the current within them. Both books allow it where
nothing branches off between the two (IEC 60364-4-43, 433.2.2; NFPA 70, 240.4(G) with 430.32 and 430.52).
"""

from __future__ import annotations

from msgspec.structs import replace

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.conductor.conductors import Loading
from wiring.design.conductor.use import use_of
from wiring.design.fault.faults import Faults
from wiring.design.fault.paths import FaultPaths
from wiring.design.machine import Machine
from wiring.parts.elements import Pole
from wiring.parts.protection import MotorProtector
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled

#: The smallest conductor that may count on others in parallel in North America: 1/0 AWG [mm2].
LEAST_IN_PARALLEL_MM2 = tabled("na", "parallel_smallest").value


def allowed_rating(loading: Loading, faults: Faults, name: str) -> Limit | None:
    """The largest rated current of a device in front of a conductor; None where the conductor has no known ampacity."""
    alone = allowed_rating_alone(loading, faults, name)
    mates = loading.machine.parallel.get(name)
    if alone is None or mates is None or not mates.shares:
        return alone
    size = loading.machine.circuit.conductor[name].size
    assert size is not None, "shares rest on sizes"
    if loading.machine.plan.rulebook == "na" and size.area_mm2 < LEAST_IN_PARALLEL_MM2:
        return alone
    share = mates.shares[name]
    note = f"{len(mates.names)} in parallel, {share * 100:.0f} % of the current in {name}"
    return replace(alone, value=alone.value / share, note="; ".join(filter(None, (alone.note, note))))


def allowed_rating_alone(loading: Loading, faults: Faults, name: str) -> Limit | None:
    """The same without the help of others in parallel; None as well where an overload device behind protects it.

    A feeder of several motors that carries what they need may stand behind a larger device than its ampacity.
    """
    figure = loading.figures.get(name)
    limit = figure.bound if figure is not None else None
    if limit is None:
        return None
    machine, conductor = loading.machine, loading.machine.circuit.conductor[name]
    setting = overload_setting_behind(machine, faults.short_circuits.paths, conductor)
    if setting is not None and setting <= limit.value * (1 + 1e-9):
        return None
    feeder = faults.motor_feeders.get(name)
    if feeder is not None and feeder.needed_a <= limit.value * (1 + 1e-9) <= feeder.device.value:
        return feeder.device
    if machine.plan.rulebook == "na" and conductor.size is not None:
        use = "control" if use_of(machine, conductor) in ("control", "signal") else "power"
        small = machine.book.largest_device(conductor.size, use)
        if isinstance(small, Limit) and small.value < limit.value:
            return small
    return limit


def overload_setting_behind(machine: Machine, paths: FaultPaths, conductor: Conductor) -> float | None:
    """Setting of the one overload device that all current of a conductor passes [A]; None where something else feeds.

    A load, a source, or a second overload device beyond the conductor is something else.
    """
    hot = paths.hot
    if conductor.a not in hot or conductor.b not in hot:
        return None
    far = conductor.b if hot[conductor.a].ohm <= hot[conductor.b].ohm else conductor.a
    beside = any(_is_beside(machine, edge, conductor) for edge in machine.circuit.edges_at[far])
    key = (far, "" if beside else conductor.id)
    if key not in machine.overload_settings:
        machine.overload_settings[key] = _setting_beyond(machine, far, conductor.id)
    return machine.overload_settings[key]


def _is_beside(machine: Machine, edge: Edge, conductor: Conductor) -> bool:
    """Whether it joins the two ends of a conductor as that does, so that nothing lies beyond the one alone."""
    if not isinstance(edge, Conductor) or edge.id == conductor.id or set(edge.ends) != set(conductor.ends):
        return False
    return carries(machine, edge)


def _setting_beyond(machine: Machine, far: Node, conductor: str) -> float | None:
    """The setting of the one overload device that a walk from the far end of a conductor meets, None for any other."""
    found: dict[str, float] = {}
    seen, queue = {far}, [far]
    while queue:
        node = queue.pop()
        if node in machine.load_and_source_nodes:
            return None
        for edge in machine.circuit.edges_at[node]:
            other = edge.other(node)
            if edge.id == conductor or (isinstance(edge, Conductor) and not carries(machine, edge)):
                continue
            if isinstance(edge, Inner) and isinstance(edge.element, Pole):
                data = machine.parts[edge.part].data
                if not isinstance(data, MotorProtector):
                    return None  # another device: something branches off, or the walk leads back to the source
                found[edge.part] = data.setting
            elif other not in seen:
                seen.add(other)
                queue.append(other)
    return next(iter(found.values())) if len(found) == 1 else None


def carries(machine: Machine, conductor: Conductor) -> bool:
    """Whether a conductor is one for load current: no shield and no protective conductor."""
    return conductor.kind != "shield" and not any(is_earth_point(machine.circuit, end) for end in conductor.ends)
