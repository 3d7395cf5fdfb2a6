"""Short circuits at every terminal that a source reaches: against its own return, and against the protective earth.

The highest current is that of cold conductors (20 °C), with what running motors feed back at the first moment; the
lowest that of conductors at the temperature of their insulation, without motors. A supply gives its limit and no more,
after a pulse where its data names one. Sources that share a rail add up for the highest current, each as it would be
alone, which errs on the safe side; for the lowest the others are off. What each protective device and each conductor
sees follows from the places behind it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.circuit.roles import function_of
from wiring.design.device.devices import UPSTREAM
from wiring.design.device.protective_devices import ProtectiveDevices
from wiring.design.fault.clearing import clearing_of
from wiring.design.fault.conductor_faults import conductor_faults
from wiring.design.fault.motors import feeding_motors
from wiring.design.fault.ohms import FaultOhms
from wiring.design.fault.paths import MAINS, FaultPaths, Reached, find_fault_paths
from wiring.design.fault.records import DeviceFault, Short, ShortCircuits
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.elements import Function
from wiring.plan.site import Mains
from wiring.rulebooks.limits import tabled
from wiring.solver.short_circuit import (
    FaultCurrent,
    FeedingMotor,
    PathOhm,
    capacitor_energy,
    limited_current,
    loop_impedances,
)

#: Share of its nominal voltage that the mains may fall to for the lowest current.
LOWEST_MAINS = tabled("common", "mains_lowest_in_fault")


class _Place(Struct, frozen=True):
    node: Node
    against: Node
    reached: Reached
    volts_factor: float


class _Ohms(Struct, frozen=True):
    """Impedance of a loop [ohm]: cold, hot, and cold with the motors that feed it; None where there is no loop."""

    cold: float | None
    hot: float | None
    fed: float | None


class _Finder:
    def __init__(self, machine: Machine, operation: Operation, devices: ProtectiveDevices) -> None:
        self.machine = machine
        self.paths = find_fault_paths(machine, operation, devices.by_name)
        self.origins = self.paths.origins
        self.known = devices.known
        self.ends: dict[str, list[Node]] = {}
        for node in machine.circuit.nodes:
            self.ends.setdefault(node[0], []).append(node)

    def return_of(self, node: Node, reached: Reached) -> tuple[Node, float] | None:
        """The nearest return of a hot node, and by what the voltage of its source counts between the two."""
        origin = self.origins[reached.origin]
        lines: Node | None = None
        for other in self.ends[node[0]]:
            back = self.paths.returns.get(other)
            if back is not None and self.origins[back.origin].minus == origin.minus and other != node:
                return other, 1.0
            line = self.paths.hot.get(other)
            if lines is None and line is not None and self._other_line(reached, line):
                lines = other
        if lines is None and origin.minus is not None:
            return origin.minus, 1.0
        if lines is None:
            lines = next((o.plus for n, o in enumerate(self.origins) if self._lines(reached.origin, n)), None)
        return (lines, self._between_lines()) if lines else None

    def _lines(self, first: int, second: int) -> bool:
        a, b = self.origins[first], self.origins[second]
        return a.part == b.part == MAINS and first != second

    def _other_line(self, here: Reached, there: Reached) -> bool:
        return self._lines(here.origin, there.origin)

    def _between_lines(self) -> float:
        mains = self.machine.plan.mains
        return 3.0**0.5 if isinstance(mains, Mains) and mains.system == "three-phase" else 2.0

    def earths(self) -> dict[str, Node]:
        """The first protective earth terminal of every part that has one."""
        found: dict[str, Node] = {}
        for node in self.machine.circuit.nodes:
            if function_of(self.machine.circuit, node) is Function.PE:
                found.setdefault(node[0], node)
        return found

    def places(self) -> Iterator[_Place]:
        for node, reached in self.paths.hot.items():
            found = self.return_of(node, reached)
            if found is not None:
                yield _Place(node, found[0], reached, found[1])

    def earth_places(self) -> Iterator[_Place]:
        earths = self.earths()
        mains = self.machine.plan.mains
        incoming = earths.get(mains.inlet) if mains and mains.inlet else None
        for node, reached in self.paths.hot.items():
            earth = earths.get(node[0], incoming)
            if earth is not None:
                yield _Place(node, earth, reached, 1.0)

    def shorts(self) -> tuple[dict[Node, Short], dict[Node, Short]]:
        returns, earths = list(self.places()), list(self.earth_places())
        feeds = [origin.feed for origin in self.origins if origin.feed is not None]
        index = self.machine.lowered.index
        places = (*returns, *earths)
        pairs = [(index[place.node], index[place.against]) for place in places]
        pairs += [(index[a], index[b]) for a, b in feeds]
        ohms = FaultOhms(self.machine, self.paths)
        cold, hot = self._impedances(ohms.cold, pairs), self._impedances(ohms.hot, pairs)
        motors = tuple(feeding_motors(self.machine, self.paths).values())
        fed = self._impedances(ohms.cold, pairs, motors) if motors else cold
        count = len(places)
        own = _Reflected(self.paths, feeds, cold[count:], hot[count:])
        alone = self._alone(ohms, pairs[:count])
        found = []
        for n, row in enumerate(map(_Ohms, cold[:count], hot[:count], fed[:count])):
            origin = places[n].reached.origin
            found.append((places[n], alone[origin][n] if origin in alone else row, self._others(n, origin, alone)))
        return self._made(found[: len(returns)], own), self._made(found[len(returns) :], own)

    def _alone(self, ohms: FaultOhms, pairs: list[tuple[int, int]]) -> dict[int, list[_Ohms]]:
        """By every source that shares its rail the loops at all places with the others there off."""
        found = {}
        for origin, others in self.paths.joined.items():
            off = {self.origins[other].part for other in others}
            cold, hot = (self._impedances(ohm, pairs, off=off) for ohm in (ohms.cold, ohms.hot))
            found[origin] = [_Ohms(a, b, a) for a, b in zip(cold, hot, strict=True)]
        return found

    def _others(self, place: int, origin: int, alone: Mapping[int, list[_Ohms]]) -> FaultCurrent:
        """What the other sources of a rail add to the highest current at a place."""
        found = [
            limited_current(other.volts, cold, other.limit_a, other.peak_a, other.cuts_out)
            for number in self.paths.joined.get(origin, ())
            for other in [self.origins[number]]
            if (cold := alone[number][place].cold)
        ]
        return FaultCurrent(sum(one.initial_a for one in found), sum(one.steady_state_a for one in found))

    def _impedances(
        self,
        ohm: PathOhm,
        pairs: list[tuple[int, int]],
        motors: tuple[FeedingMotor, ...] = (),
        off: Collection[str] = (),
    ) -> tuple[float | None, ...]:
        distinct = list(dict.fromkeys(pairs))
        rows = loop_impedances(self.machine.lowered, self.paths.closed, ohm, distinct, motors, off)
        found = dict(zip(distinct, rows, strict=True))
        return tuple(found[pair] for pair in pairs)

    def _made(self, rows: list[tuple[_Place, _Ohms, FaultCurrent]], own: _Reflected) -> dict[Node, Short]:
        found = {}
        for place, ohm, others in rows:
            if ohm.cold is None or ohm.hot is None or ohm.cold <= self._joined_below(place) or ohm.hot <= 0.0:
                continue
            cold, hot = own.ohm(place.reached.origin)
            fed = min(ohm.fed or ohm.cold, ohm.cold)
            whole = _Ohms(ohm.cold + cold, ohm.hot + hot, fed + cold)
            found[place.node] = self._short(place, whole, others)
        return found

    def _joined_below(self, place: _Place) -> float:
        """The loop below which two lines of the mains are one piece of metal already [ohm]: a quarter of what the mains
        alone put into it, as a fault current may be that of the outer lines or of a line and the neutral."""
        origin, mains = self.origins[place.reached.origin], self.machine.plan.mains
        amps = mains.fault_current if mains is not None and origin.part == MAINS else None
        return origin.volts / (4.0 * amps) if amps else 0.0

    def _short(self, place: _Place, ohm: _Ohms, others: FaultCurrent) -> Short:
        assert ohm.cold is not None
        assert ohm.hot is not None
        assert ohm.fed is not None
        origin = self.origins[place.reached.origin]
        volts = origin.volts * place.volts_factor
        least = LOWEST_MAINS.value * volts if origin.part == MAINS else volts
        alone = limited_current(volts, ohm.cold, origin.limit_a, origin.peak_a, origin.cuts_out)
        initial_a = limited_current(volts, ohm.fed, origin.limit_a, origin.peak_a, origin.cuts_out).initial_a
        return Short(
            place.node,
            place.against,
            origin,
            place.reached.devices,
            volts,
            ohm.cold,
            ohm.hot,
            FaultCurrent(initial_a + others.initial_a, alone.steady_state_a + others.steady_state_a),
            limited_current(least, ohm.hot, origin.limit_a, origin.peak_a, origin.cuts_out),
            capacitor_energy(volts, origin.capacitance_f, ohm.hot),
            initial_a - alone.initial_a,
        )


class _Reflected:
    """Impedance that stands in front of sources whose voltage follows their input, seen from their output."""

    def __init__(
        self,
        paths: FaultPaths,
        feeds: list[tuple[Node, Node]],
        cold: tuple[float | None, ...],
        hot: tuple[float | None, ...],
    ) -> None:
        self.paths = paths
        self.behind = {feed: (a or 0.0, b or 0.0) for feed, a, b in zip(feeds, cold, hot, strict=True)}

    def ohm(self, number: int, depth: int = 0) -> tuple[float, float]:
        """Cold and hot impedance that an origin adds to the loop behind it: that of its input by the ratio squared."""
        origin = self.paths.origins[number]
        if origin.feed is None or depth > len(self.paths.origins):
            return 0.0, 0.0
        cold, hot = self.behind[origin.feed]
        before = self.paths.hot.get(origin.feed[0])
        more = self.ohm(before.origin, depth + 1) if before is not None else (0.0, 0.0)
        square = origin.ratio**2
        return square * (cold + more[0]), square * (hot + more[1])


def _devices(found: _Finder, to_return: Mapping[Node, Short]) -> dict[str, DeviceFault]:
    zones: dict[str, list[Short]] = {}
    for short in to_return.values():
        if short.devices:
            zones.setdefault(short.devices[-1], []).append(short)
    rows = {}
    for name in sorted(zones):
        if name == UPSTREAM or name not in found.known:
            continue
        farthest = min(zones[name], key=lambda short: (short.lowest.initial_a, -short.hot_ohm, short.node))
        nearest = max(zones[name], key=lambda short: (short.highest.initial_a, -short.cold_ohm, short.node))
        rows[name] = DeviceFault(name, found.known[name], nearest, farthest, clearing_of(found.known, farthest))
    return rows


def short_circuits(machine: Machine, operation: Operation, devices: ProtectiveDevices) -> ShortCircuits:
    """Every short circuit of a machine, by place, by device and by conductor."""
    found = _Finder(machine, operation, devices)
    to_return, to_earth = found.shorts()
    return ShortCircuits(
        found.paths,
        found.known,
        to_return,
        to_earth,
        _devices(found, to_return),
        conductor_faults(machine.circuit, found.paths, to_return),
    )
