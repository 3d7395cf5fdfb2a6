"""Charge that stays in the buses of drives when their supply is gone, and what it keeps at a voltage."""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt

from msgspec import Struct
from msgspec.structs import replace

from wiring.design.machine import Machine
from wiring.design.stop.account import TOUCH_V
from wiring.parts.base import Part
from wiring.parts.bus import run_on_time
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint
from wiring.walks import walk


class Charge(Struct, frozen=True):
    """A bus at `volts` at a time on the clock [s], left to itself with the drive's own `load_w` from then on, unless it
    is `fed`."""

    since_s: float
    volts: float
    farad: float
    load_w: float
    fed: bool = False

    def at(self, time_s: float) -> float:
        """Voltage of the bus at a time [V]: C (V1² - V2²) / 2 = P t."""
        squared = self.volts**2 - 2.0 * self.load_w * max(time_s - self.since_s, 0.0) / self.farad
        return sqrt(max(squared, 0.0))

    def safe_in(self, time_s: float) -> float:
        """Time until the bus is down to the voltage of touch [s]; infinite where nothing discharges it."""
        return run_on_time(self.farad, self.at(time_s), TOUCH_V, self.load_w)


def charges(machine: Machine, point: OperatingPoint, before: Mapping[str, Charge], time_s: float) -> dict[str, Charge]:
    """The buses of all drives whose capacitance the plan gives, charged by their supply or left to themselves."""
    found = {}
    for part in machine.parts.values():
        bus = _bus(part)
        if bus is None or not isinstance(part.data, Drive) or not part.data.bus_capacitance:
            continue
        peak = 1.0 if bus.kind == "DC" else sqrt(2.0)
        supplied = peak * abs(point.between((part.name, bus.a), (part.name, bus.b), bus.kind))
        kept = before.get(part.name)
        if kept is None or supplied >= kept.at(time_s):
            load_w = float(getattr(part.data, "quiescent", 0.0))
            found[part.name] = Charge(time_s, supplied, float(part.data.bus_capacitance), load_w, supplied > 0.0)
        else:
            found[part.name] = replace(kept, fed=False)
    return found


def _bus(part: Part) -> Draw | None:
    return next((draw for draw in part.of(Draw) if draw.name == "bus"), None)


def charged_nodes(
    machine: Machine, point: OperatingPoint, charge: Mapping[str, Charge], time_s: float, least_v: float
) -> dict[int, float]:
    """The nodes that capacitors of DC buses keep at a voltage [V] though nothing supplies them, by number."""
    near: dict[int, list[int]] = {}
    position = point.position
    for edge in point.lowered.edges:
        if is_closed(edge, position.moved, position.opened, position.closed):
            near.setdefault(edge.a, []).append(edge.b)
            near.setdefault(edge.b, []).append(edge.a)
    found: dict[int, float] = {}
    for name, one in charge.items():
        bus, volts = _bus(machine.parts[name]), one.at(time_s)
        if bus is None or bus.kind != "DC" or volts < least_v:
            continue
        back = _joined(near, point.lowered.index[name, bus.b])
        for node in _joined(near, point.lowered.index[name, bus.a]) - back:
            found[node] = max(found.get(node, 0.0), volts)
    return found


def _joined(near: Mapping[int, list[int]], start: int) -> set[int]:
    return set(walk([start], lambda node: ((None, far) for far in near.get(node, ()))))
