"""How drives are fed: conductors, the device in front, and chains from one to the next."""

from __future__ import annotations

from math import inf

from msgspec import Struct

from wiring.circuit.model import Conductor
from wiring.design.conductor.load_drops import LoadDrop, drop_shares
from wiring.design.design import Design
from wiring.design.device.nearest_devices import nearest_above
from wiring.design.device.overcurrent_protection import Protection
from wiring.design.fault.records import Short
from wiring.design.nets import Net
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled

#: Share that the trade keeps free below the upper end of a drive's window, and above its lower end.
MARGIN = tabled("common", "drive_window_margin").value
#: A drive marked for one voltage takes the mains within this share of it.
MAINS_TOLERANCE = tabled("iec", "ac_supply_voltage_max").value - 1.0
#: Guards that are no device with contacts or a melting wire: a supply that limits itself is judged by its own rules.
_NO_DEVICE = ("supply", "sum", "drive")


def device_ahead(design: Design, part: Part) -> Protection | None:
    """The largest device that limits the current at the power terminals of a drive."""
    found = [
        g
        for name in feed_conductors(design, part)
        if (g := design.protections.get(name)) and g.family not in _NO_DEVICE
    ]
    return max((g for g in found if g.rating_a < inf), key=lambda protection: protection.rating_a, default=None)


def too_large_ahead(design: Design, part: Part, most_a: float) -> str | None:
    """The last device ahead of the power terminals of a drive that is rated above a current [A]."""
    ends = {(part.name, end) for e in part.of(Draw) if e.name == "bus" for end in (e.a, e.b)}
    return nearest_above(design, ends, most_a)


def feed_conductors(design: Design, part: Part) -> list[str]:
    """The conductors at the power terminals of a drive."""
    ends = {end for e in part.of(Draw) if e.name == "bus" for end in (e.a, e.b)}
    return [c.id for end in sorted(ends) for c in design.circuit.conductors_at((part.name, end))]


class LostInChain(Struct, frozen=True):
    """A drive that loses too much: its drop, what of it the other drives' currents make [V], and the limit."""

    load: LoadDrop
    others_v: float
    limit: Limit


def drive_chains(design: Design) -> dict[Net, list[Conductor]]:
    """The conductors between the DC supply terminals of two drives, by their net."""
    buses = {
        (part.name, end)
        for part in design.parts.values()
        if isinstance(part.data, Drive)
        for element in part.of(Draw)
        if element.name == "bus" and element.kind == "DC"
        for end in (element.a, element.b)
    }
    chains: dict[Net, list[Conductor]] = {}
    for conductor in design.circuit.conductors if len(buses) > 2 else ():
        if all(end in buses for end in conductor.ends) and conductor.a[0] != conductor.b[0]:
            chains.setdefault(design.nets.of[conductor.a], []).append(conductor)
    return chains


def lost_on_chain(design: Design, net: Net, chain: list[Conductor]) -> list[LostInChain]:
    """The drives that lose too much on a chain; none where one of them would lose too much without the others as well:
    thin or long conductors are the cause then.
    """
    limit = design.book.voltage_drop_limit("machine")
    found: list[LostInChain] = []
    for name in sorted({end[0] for conductor in chain for end in conductor.ends}):
        load = design.drops.get(name)
        if load is None or isinstance(limit, NotTabled) or load.percent <= limit.value * (1 + 1e-9):
            continue
        others_v = _others_drop_v(design, net, load)
        if 100.0 * (load.drop_v - others_v) / load.nominal_v > limit.value:
            return []
        found.append(LostInChain(load, others_v, limit))
    return found


def _others_drop_v(design: Design, net: Net, load: LoadDrop) -> float:
    """What the currents of other loads lose on a drive's way within a net [V]."""
    current = design.operation.loaded[load.state].path_current(load.kind)
    return sum(
        volts * max(0.0, 1.0 - load.current_a / abs(current[key]))
        for key, volts in drop_shares(design.machine, design.operation, load).items()
        if design.nets.of[design.circuit.conductor[key].a] == net and abs(current.get(key, 0.0)) > 0.0
    )


def bus_feed(design: Design, part: Part) -> Short | None:
    """How the bus of a drive is fed: voltage and source between its supply terminals."""
    shorts = design.short_circuits.to_return
    ends = [e.a for e in part.of(Draw) if e.name == "bus"]
    return next((shorts[part.name, end] for end in ends if (part.name, end) in shorts), None)


def broken_window(data: Drive, short: Short) -> tuple[float, str] | None:
    """The limit of its window that a voltage is near or outside of [V], and which of the two; None where it fits.

    What a drive survives counts for the margin where the plan gives it, else the upper end of its window. One voltage
    is nominal and no end of a window: a tenth more or less fits.
    """
    low, high, volts = data.supply.low, data.supply.high, short.volts
    if not short.dc or low == high:
        room = MAINS_TOLERANCE if low == high else 0.0
        if (1.0 - room) * low <= volts * (1 + 1e-9) and volts <= (1.0 + room) * high * (1 + 1e-9):
            return None
        return high if volts > high else low, "outside"
    if volts > high:
        return high, "outside"
    if volts < low:
        return low, "outside"
    most = (1.0 - MARGIN) * max(data.bus_limit or 0.0, high)
    if volts > most * (1 + 1e-9):
        return most, "near"
    return None
