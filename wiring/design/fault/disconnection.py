"""Automatic disconnection: whether an earth fault at the body of a part is cleared in the time that its book allows.

In a TN system the time comes from IEC 60364-4-41, table 41.1, by the rating of the device nearest to the part. NFPA 70
gives no times: there the loop must let pass five times the rating of a device (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from msgspec import Struct

from wiring.circuit.model import Inner, Node
from wiring.design.device.protective_devices import ProtectiveDevices
from wiring.design.fault.clearing import clearing_of, opening_s
from wiring.design.fault.measured_loop import with_measured_loop
from wiring.design.fault.paths import MAINS
from wiring.design.fault.records import FAULT_CURRENT, Clearing, Short, ShortCircuits
from wiring.design.machine import Machine
from wiring.parts.elements import Pole
from wiring.parts.protection import ResidualCurrentDevice
from wiring.plan.site import BuildingRcd
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import Device, surely_opens_at
from wiring.rulebooks.limits import tabled

#: A loop of low impedance lets pass this multiple of the rating of its device.
_NA_LOOP = tabled("common", "na_loop_multiple")
#: A residual current device opens in time at this multiple of its residual current, and in a TT system at its residual
#: current within the time of the table.
_RESIDUAL_MULTIPLE = tabled("common", "residual_opens_at").value
#: One with a delay (type S) opens within 0.2 s at twice its residual current (IEC 61008-1, table 1, from memory).
_DELAYED_MULTIPLE = 2.0
#: Behind an earth electrode of known resistance a body stands at no more than this when its device opens
#: (IEC 60364-4-41:2005, 411.5.3, from memory) [V].
TOUCH_V = 50.0
#: A loop measured cold may be this share of what lets the device open, because conductors get warm.
_COLD_SHARE = tabled("common", "cold_loop").value


class Disconnection(Struct, frozen=True):
    """An earth fault from a mains terminal to the body of its own part, and what clears it.

    `device` is the overcurrent device nearest to the part, "" for none, and `clearing` tells which one opens first.
    `limit` is the longest time [s], or the least current [A] where the book gives no time; None while `missing` says
    what the plan must add. `needed_a` is the least current at which the nearest device opens in time, `least_a` the
    least at which any on the way does, each infinite where none does. `residual` names a residual current device on the
    way that opens at this current, "" for none, and `residual_a` what it needs.
    """

    short: Short
    device: str
    clearing: Clearing
    limit: Limit | None
    needed_a: float
    least_a: float
    residual: str
    residual_a: float
    missing: str

    @property
    def part(self) -> str:
        """The part whose body becomes live."""
        return self.short.node[0]

    @property
    def by_overcurrent(self) -> bool:
        """Whether an overcurrent device clears the fault in time."""
        if self.limit is None:
            return False
        if self.limit.unit == "A":
            return self.short.lowest.initial_a >= self.limit.value
        return self.clearing.latest_s <= self.limit.value

    @property
    def in_time(self) -> bool:
        """Whether any device does; False too while it is not known, see `missing`."""
        return bool(self.residual) or self.by_overcurrent

    @property
    def largest_cold_loop_ohm(self) -> float:
        """The largest loop, measured cold, with which the fault is still cleared in time [ohm]; infinite: not known.

        Two thirds of the loop that lets the device open (IEC 60204-1, A.4), unless the computed loop, of which hot and
        cold are known, says otherwise: a loop that is cleared in time is never called too large, nor the other way.
        """
        needed = self.residual_a if self.residual and not self.by_overcurrent else self.least_a
        if needed == inf:
            return inf
        short = self.short
        share = _COLD_SHARE if self.limit is None or self.limit.unit == "s" else 1.0
        to_spare = short.hot_ohm * (short.lowest.initial_a / needed - 1.0)
        judged, by_rule = short.cold_ohm + _COLD_SHARE * to_spare, share * short.volts / needed
        return max(judged, by_rule) if self.in_time else min(judged, by_rule)


def disconnections(machine: Machine, devices: ProtectiveDevices, faults: ShortCircuits) -> Mapping[Node, Disconnection]:
    """The earth faults at every mains terminal of a part whose own body is earthed, by terminal."""
    earthing = (machine.plan.mains.earthing if machine.plan.mains else None) or ""
    measured = measured_loop(machine)
    places = _places(faults)
    if measured is not None:
        cold_share = 1.0 if machine.plan.rulebook == "na" else _COLD_SHARE
        places = ((node, with_measured_loop(faults, short, measured, cold_share)) for node, short in places)
    return {node: _disconnection(machine, devices, faults, short, earthing) for node, short in places}


def not_judged(machine: Machine) -> str:
    """What the plan must add before any earth fault on its mains can be judged, "" for nothing."""
    mains = machine.plan.mains
    if mains is None or mains.earthing is None:
        return "the earthing system of the mains (`mains: {earthing: …}`)"
    if mains.earthing == "IT":
        return {
            "trips": "",
            "alarm": "how a second fault is cleared while the first one stands (IEC 60364-4-41, 411.6.4)",
        }.get(
            mains.insulation_monitor or "",
            "what the insulation monitoring of an IT system does on a fault (`insulation_monitor: trips` or `alarm`)",
        )
    return "" if mains.fault_current is not None or measured_loop(machine) is not None else FAULT_CURRENT


def measured_loop(machine: Machine) -> float | None:
    """The loop that was measured at the inlet [ohm]; that of the electrode where a TT system gives it; else None."""
    measured = machine.plan.measured.loop if machine.plan.measured else None
    return electrode_ohm(machine) if measured is None else measured


def electrode_ohm(machine: Machine) -> float | None:
    """The resistance of the electrode of a TT system [ohm], for which the measured loop may stand; None: not known."""
    mains = machine.plan.mains
    if mains is None or mains.earthing != "TT":
        return None
    return mains.electrode or (machine.plan.measured.loop if machine.plan.measured else None)


def _places(faults: ShortCircuits) -> Iterator[tuple[Node, Short]]:
    for node, short in faults.to_earth.items():
        if short.origin.part == MAINS and short.against[0] == node[0] and short.origin.plus != node:
            yield node, short


def _disconnection(
    machine: Machine, devices: ProtectiveDevices, faults: ShortCircuits, short: Short, earthing: str
) -> Disconnection:
    clearing = clearing_of(devices.known, short)
    share = 1.0 if earthing == "TT" else _RESIDUAL_MULTIPLE
    residual, residual_a = _residual(machine, faults, short, share)
    if earthing == "TT" and measured_loop(machine) is not None:
        residual_a *= max(short.volts / TOUCH_V, 1.0)  # RA x IdN, which `touch-voltage-too-high` tells
    if not short.devices:
        missing = "the device in front of the machine (`mains: {upstream: {kind: …, rating: …}}`)"
        return Disconnection(short, "", clearing, None, inf, inf, residual, residual_a, missing)
    nearest = devices.by_name[short.devices[-1]]
    known = {name: devices.known[name] for name in short.devices if name in devices.known}
    limit = _limit(machine, nearest.device, known, short, earthing)
    if isinstance(limit, NotTabled):
        return Disconnection(short, nearest.name, clearing, None, inf, inf, residual, residual_a, limit.reason)
    needed = {name: _needed(device, short, limit) for name, device in known.items()}
    least_a = limit.value if limit.unit == "A" else min(needed.values(), default=inf)
    needed_a = limit.value if limit.unit == "A" else needed.get(nearest.name, inf)
    found = Disconnection(short, nearest.name, clearing, limit, needed_a, least_a, residual, residual_a, "")
    if nearest.missing and not found.in_time:
        missing = f"{nearest.missing} of {nearest.name}"
        return Disconnection(short, nearest.name, clearing, None, inf, least_a, residual, residual_a, missing)
    return found


def _limit(
    machine: Machine, nearest: Device | None, known: Mapping[str, Device], short: Short, earthing: str
) -> Limit | NotTabled:
    """The longest time to disconnect [s], or the least current [A] in a book that gives no times."""
    if machine.plan.rulebook == "na":
        needed = min((_NA_LOOP.value * device.rating_a for device in known.values()), default=inf)
        absent = NotTabled("rating and class of a device in front of it")
        return Limit(needed, "A", _NA_LOOP.source) if needed < inf else absent
    return machine.book.disconnection_time(earthing, "ac", short.volts, nearest.rating_a if nearest else None)


def opens_in_time(machine: Machine, device: Device, short: Short) -> bool:
    """Whether a device, alone on the way and nearest to the part, clears an earth fault in time; not for TT systems."""
    earthing = (machine.plan.mains.earthing if machine.plan.mains else None) or ""
    limit = _limit(machine, device, {"": device}, short, earthing)
    if isinstance(limit, NotTabled):
        return True
    if limit.unit == "A":
        return short.lowest.initial_a >= limit.value * (1 - 1e-9)
    return opening_s(device, short) <= limit.value


def _needed(device: Device, short: Short, limit: Limit) -> float:
    return _NA_LOOP.value * device.rating_a if limit.unit == "A" else surely_opens_at(device, short.dc, limit.value)


def _residual(machine: Machine, faults: ShortCircuits, short: Short, share: float) -> tuple[str, float]:
    """The first residual current device on the way back, or that of the building, that opens at the current, and the
    current that it needs."""
    hot, at = faults.paths.hot, short.node
    while (step := hot.get(at)) is not None and step.before is not None:
        if isinstance(step.back, Inner) and isinstance(step.back.element, Pole):
            data = machine.parts[step.back.part].data
            if isinstance(data, ResidualCurrentDevice) and short.lowest.initial_a >= share * data.residual:
                return step.back.part, share * data.residual
        at = step.before
    mains = machine.plan.mains
    if mains is not None and isinstance(mains.rcd, BuildingRcd) and mains.rcd.residual is not None:
        needed_a = max(share, _DELAYED_MULTIPLE if mains.rcd.time_delay else share) * mains.rcd.residual
        if short.lowest.initial_a >= needed_a:
            return "the residual current device of the building", needed_a
    return "", inf
