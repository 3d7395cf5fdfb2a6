"""The largest rated current of a protective device that a conductor allows."""

from __future__ import annotations

from msgspec.structs import replace

from wiring.design.conductor.conductors import Loading
from wiring.design.conductor.overload_protection import overload_setting_behind
from wiring.design.conductor.use import use_of
from wiring.design.fault.faults import Faults
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
