"""Who opens on a short circuit, and when: every device on its way asked for its latest time, the soonest counts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise
from math import inf, log

from wiring.design.fault.records import Clearing, Short
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.breakers import MAGNETIC_S
from wiring.rulebooks.citation import Source
from wiring.rulebooks.devices import Device, clears, device_curve, let_through
from wiring.rulebooks.limited_source import trips_on_limited_source

#: The discharge of a supply's capacitor is over, and a fuse that it melts is open, within this time [s] (derived: five
#: time constants of 10 mF into 0.2 ohm).
MELTED_BY_CAPACITOR_S = 0.01


def opening_s(device: Device, short: Short) -> float:
    """Latest time in which a device opens on the weakest current of a short circuit [s], infinite when it need not."""
    origin = short.origin
    if origin.limit_a == inf:
        return clears(device, short.lowest.steady_state_a, short.dc).max_s
    total = device_curve(device, short.dc).total_a2s
    if total is not None and short.capacitor_a2s >= total:
        return MELTED_BY_CAPACITOR_S
    found = trips_on_limited_source(
        device, short.volts, short.hot_ohm, origin.limit_a, origin.peak_a or None, dc=short.dc
    )
    if origin.cuts_out and short.lowest.initial_a < found.needed_a:
        return inf
    return found.opens_s


def clearing_of(known: Mapping[str, Device], short: Short) -> Clearing:
    """Which device on the way of a short circuit opens first."""
    best, latest = "", inf
    for device, name in _apart(known, reversed(short.devices)).items():
        if (time := opening_s(device, short)) < latest:
            best, latest = name, time
    unknown = tuple(name for name in short.devices if name not in known)
    return Clearing(best, latest, unknown, short.origin.cuts_out)


def _apart(known: Mapping[str, Device], names: Iterable[str]) -> Mapping[Device, str]:
    """The first name of each device that differs: equal ones in series open alike, and are asked once."""
    found: dict[Device, str] = {}
    for name in names:
        if name in known:
            found.setdefault(known[name], name)
    return found


def greatest_energy(known: Mapping[str, Device], short: Short, current_a: float) -> float:
    """Most that the devices of a short circuit let through at a current [A2s], infinite when none opens.

    A thermal release and a fuse need no more energy at a higher current than at a lower one (derived: heat has less
    time to leave), so a point at a lower current also bounds them. Between two points at which a fuse must open it
    needs no longer than on the straight line between them, both scales logarithmic (derived: its curve is steep where
    it hardly melts and flattens towards constant energy, so that a chord lies above it).
    """
    return _least_energy(known, short, current_a)[0]


def energy_source(known: Mapping[str, Device], short: Short, current_a: float) -> Source | None:
    """Where that energy stands; None where no device opens."""
    return _least_energy(known, short, current_a)[1]


def _least_energy(known: Mapping[str, Device], short: Short, current_a: float) -> tuple[float, Source | None]:
    energies = (_energy(device, current_a, short.dc) for device in _apart(known, short.devices))
    return min(energies, key=lambda one: one[0], default=(inf, None))


def _energy(device: Device, current_a: float, dc: bool) -> tuple[float, Source | None]:
    limit = let_through(device, current_a, dc)
    best = (inf, None) if isinstance(limit, NotTabled) else (limit.value, limit.source)
    if device.family not in ("breaker", "fuse"):
        return best
    least = device.half_cycle_s * current_a**2 if device.family == "breaker" else 0.0  # its contacts take their time
    for point in device_curve(device, dc).points:
        if point.open_s is not None and point.current_a <= current_a and point.open_s > MAGNETIC_S:
            energy = max(point.current_a**2 * point.open_s, least)
            best = (energy, point.source) if energy < best[0] else best
    if device.family == "fuse" and (seconds := _on_chord(device, current_a, dc)) < inf:
        return min(best[0], current_a**2 * seconds), best[1]
    return best


def _on_chord(device: Device, current_a: float, dc: bool) -> float:
    """The time on the line between the two promised points of a fuse around a current [s]; infinite outside them."""
    points = sorted((p.current_a, p.open_s) for p in device_curve(device, dc).points if p.open_s)
    for (low_a, slow_s), (high_a, fast_s) in pairwise(points):
        if low_a < current_a < high_a and fast_s < slow_s:
            return float(slow_s * (current_a / low_a) ** (log(fast_s / slow_s) / log(high_a / low_a)))
    return inf
