"""Refuse a network that has no physical meaning before any arithmetic is spent on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import isfinite

from wiring.solver.network import Network, Overload, Scalar


def check(network: Network) -> bool:
    """Whether any value is a phasor; ValueError naming the element and what it must be."""
    for node in network.references:
        _inside(node, network.nodes, "a reference")
    _ends("branch", ((item.a, item.b) for item in network.branches), network.nodes)
    _ends("source", ((item.plus, item.minus) for item in network.sources), network.nodes)
    _ends("power load", ((item.a, item.b) for item in network.powers), network.nodes)
    _ends("current load", ((item.a, item.b) for item in network.currents), network.nodes)
    _ends("diode", ((item.a, item.b) for item in network.diodes), network.nodes)
    _resistive("branch", [item.ohm for item in network.branches])
    _resistive("source", [item.ohm for item in network.sources])
    _resistive("diode", [item.ohm for item in network.diodes])
    _loads(network)
    phasors = is_complex(network)
    _sources(network, phasors)
    if phasors and network.diodes:
        raise ValueError("diodes are solved at 0 Hz only, but the network holds complex values")
    return phasors


def is_complex(network: Network) -> bool:
    """Whether any value is a phasor."""
    values = [item.ohm for item in network.branches]
    values += [value for item in network.sources for value in (item.ohm, item.volts)]
    return complex in map(type, values)


def _inside(node: int, count: int, what: str) -> None:
    if not 0 <= node < count:
        raise ValueError(f"{what} names node {node}, but the network has nodes 0 to {count - 1}")


def _ends(kind: str, ends: Iterable[tuple[int, int]], count: int) -> None:
    for index, (a, b) in enumerate(ends):
        if not (0 <= a < count and 0 <= b < count):
            _inside(a if not 0 <= a < count else b, count, f"{kind} {index}")


def _resistive(kind: str, values: Sequence[Scalar]) -> None:
    for index, ohm in enumerate(values):
        if not (ohm.real > 0.0 and isfinite(ohm.real) and isfinite(ohm.imag)):
            raise ValueError(f"{kind} {index} has {ohm} ohm; its resistance must be above 0 and finite")


def _loads(network: Network) -> None:
    for index, load in enumerate(network.powers):
        _figure(load.watts, f"power load {index}", "W")
        _figure(load.lockout_v, f"power load {index}", "V lock-out")
        _power_factor(load.power_factor, f"power load {index}")
    for index, draw in enumerate(network.currents):
        _figure(draw.amps, f"current load {index}", "A")
        _power_factor(draw.power_factor, f"current load {index}")


def _figure(value: float, what: str, unit: str) -> None:
    if not (value >= 0.0 and isfinite(value)):
        raise ValueError(f"{what} has {value} {unit}; it must be 0 or above and finite")


def _power_factor(value: float, what: str) -> None:
    if not 0.0 < value <= 1.0:
        raise ValueError(f"{what} has power factor {value}; it must be above 0 and at most 1")


def _sources(network: Network, phasors: bool) -> None:
    for index, source in enumerate(network.sources):
        if not (isfinite(source.volts.real) and isfinite(source.volts.imag)):
            raise ValueError(f"source {index} has {source.volts} V; it must be finite")
        if source.overload is Overload.STIFF:
            continue
        if phasors:
            raise ValueError(f"source {index} has a limit; at mains frequency sources are stiff")
        if not source.volts.real >= 0.0:
            raise ValueError(f"source {index} has {source.volts} V; a source with a limit needs 0 V or above")
        if source.limit_a is not None and not source.limit_a > 0.0:
            raise ValueError(f"source {index} has a limit of {source.limit_a} A; it must be above 0")
