"""The buses that braking axes feed: their drives, capacitors, what bears how much on them, and what holds them down."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, sqrt

from msgspec import Struct

from wiring.circuit.axes import Axis
from wiring.design.fault.paths import MAINS, Origin
from wiring.design.fault.records import ShortCircuits
from wiring.design.machine import Machine
from wiring.parts.base import Part
from wiring.parts.drives import BusChopper, Drive, Inverter
from wiring.parts.elements import Draw
from wiring.parts.motors import BrakingResistor
from wiring.parts.sources import Capacitor, Converter, Supply


class BusRail(Struct):
    """A bus with its axes: the rail of a supply (`common`), or of a drive that rectifies the mains. `limits` are [V],
    part and key; `capacitance_f` [F]."""

    source: str
    volts: float
    axes: list[Axis]
    capacitance_f: float
    limits: list[tuple[float, str, str]]
    common: bool


def _bus_draw(drive: Part) -> Draw | None:
    return next((e for e in drive.of(Draw) if e.name == "bus"), None)


def braking_resistors(machine: Machine, drive: Part) -> tuple[str, ...]:
    """The braking resistors that are wired to a drive."""
    if not isinstance(drive.data, Inverter):
        return ()
    nets = machine.nets
    nodes = (
        node for end in ("R1", "R2") if (drive.name, end) in nets.of for node in nets.members[nets.of[drive.name, end]]
    )
    return tuple(sorted({name for name, _ in nodes if isinstance(machine.parts[name].data, BrakingResistor)}))


def bus_rails(machine: Machine, faults: ShortCircuits) -> list[BusRail]:
    """Every bus with axes on it, by the name of its source."""
    paths = faults.paths
    rails: dict[str, BusRail] = {}
    for axis in machine.axes.values():
        draw = _bus_draw(axis.drive)
        if draw is None or not axis.motors:
            continue
        reached = paths.hot.get((axis.drive.name, draw.a)) or paths.hot.get((axis.drive.name, draw.b))
        if reached is None:
            continue
        if draw.kind == "DC":
            origin = paths.origins[reached.origin]
            if origin.part == MAINS:
                continue  # it is no bus and destroys the drive, which `drive-voltage-outside-window` tells
            rail = rails.setdefault(
                origin.part, BusRail(origin.part, origin.volts, [], _on_rail(machine, faults, origin), [], True)
            )
        else:
            rail = rails.setdefault(
                axis.drive.name, BusRail(axis.drive.name, _rectified(faults, axis.drive), [], 0.0, [], False)
            )
        rail.axes.append(axis)
        rail.capacitance_f += axis.drive.data.bus_capacitance or 0.0 if isinstance(axis.drive.data, Drive) else 0.0
    for rail in rails.values():
        rail.limits += _limits(machine, faults, rail)
    return [rails[name] for name in sorted(rails)]


def _rectified(faults: ShortCircuits, drive: Part) -> float:
    """Voltage of the bus behind the rectifier of a mains drive: the peak between its lines [V]."""
    shorts = faults.at_part.get(drive.name, ())
    return sqrt(2.0) * max((short.volts for short in shorts), default=0.0)


def _on_rail(machine: Machine, faults: ShortCircuits, origin: Origin) -> float:
    """Capacitance of the supply and of capacitors on its rail [F]."""
    total = origin.capacitance_f
    for name in sorted({node[0] for node in faults.fed_by.get(origin.part, ())}):
        data = machine.parts[name].data
        if isinstance(data, Capacitor):
            total += data.capacitance
    return total


def _limits(machine: Machine, faults: ShortCircuits, rail: BusRail) -> Iterator[tuple[float, str, str]]:
    """What every part on the bus bears [V], its name, and the key that says so."""
    for axis in rail.axes:
        data = axis.drive.data
        assert isinstance(data, Drive)
        if data.bus_limit is not None:
            yield data.bus_limit, axis.drive.name, "bus_limit"
        elif rail.common:
            yield data.supply.high, axis.drive.name, "supply"
    if not rail.common:
        return
    supply = machine.parts[rail.source].data
    if isinstance(supply, Supply) and supply.over_voltage is not None:
        yield supply.over_voltage, rail.source, "over_voltage"
    for name in sorted({node[0] for node in faults.fed_by.get(rail.source, ())}):
        data = machine.parts[name].data
        if isinstance(data, Converter) and name != rail.source:
            yield data.input.high, name, "input"
        elif isinstance(data, Capacitor) and data.rated_voltage is not None:
            yield data.rated_voltage.volts, name, "rated_voltage"


def clamp_of(machine: Machine, faults: ShortCircuits, rail: BusRail) -> float:
    """Lowest voltage at which a chopper sets in; 0 where one is there and the plan does not say at which."""
    clamps = [
        axis.drive.data.clamp for axis in rail.axes if isinstance(axis.drive.data, Drive) and axis.drive.data.clamp
    ]
    choppers = (machine.parts[name].data for name in choppers_on(machine, faults, rail))
    clamps += [data.clamp or 0.0 for data in choppers if isinstance(data, BusChopper)]
    if not clamps and any(braking_resistors(machine, axis.drive) for axis in rail.axes):
        return 0.0
    return min(clamps, default=inf)


def choppers_on(machine: Machine, faults: ShortCircuits, rail: BusRail) -> tuple[str, ...]:
    """The choppers on a common bus."""
    on_rail = {node[0] for node in faults.fed_by.get(rail.source, ())} if rail.common else set()
    return tuple(sorted(name for name in on_rail if isinstance(machine.parts[name].data, BusChopper)))
