"""The short circuits that every conductor must bear, those that lead to a fault and those that lead back from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from wiring.circuit.model import Circuit, Conductor, Node
from wiring.design.fault.paths import FaultPaths
from wiring.design.fault.records import ConductorFault, Short


def conductor_faults(
    circuit: Circuit, paths: FaultPaths, to_return: Mapping[Node, Short]
) -> tuple[ConductorFault, ...]:
    """By conductor and device in front of it the strongest and the weakest short circuit.

    `to_return` are the short circuits against the return by hot node.
    """
    rows = [*_outward(circuit, paths, to_return), *_homeward(paths, to_return)]
    return tuple(sorted(rows, key=lambda row: (row.id, row.device)))


def _device(short: Short) -> str:
    return short.devices[-1] if short.devices else ""


def _outward(circuit: Circuit, paths: FaultPaths, to_return: Mapping[Node, Short]) -> Iterator[ConductorFault]:
    for wire in circuit.conductors:
        if wire.a in to_return and wire.b in to_return and wire.kind != "shield":
            near, far = sorted(wire.ends, key=lambda end: paths.hot[end].ohm)
            yield ConductorFault(wire.id, _device(to_return[near]), to_return[near], to_return[far])


def _homeward(paths: FaultPaths, to_return: Mapping[Node, Short]) -> Iterator[ConductorFault]:
    """A conductor of a return lies beside the line to the same loads: it bears what comes back from them, and where it
    begins at a part of that line, what the device lets through that stands in front of the line there."""
    back = {node: short for node, short in to_return.items() if short.against in paths.returns}
    found: dict[str, dict[Node, Short]] = {}
    for short in back.values():
        if short.against[0] != short.node[0]:
            continue
        line = _way(paths, short.node)
        for wire, start in _wires_home(paths, short.against):
            shorts = found.setdefault(wire.id, {})
            shorts[short.node] = short
            beside = next((paths.hot[point].devices for point in line if point[0] == start[0]), None)
            shorts |= {point: back[point] for point in line if point in back and paths.hot[point].devices == beside}
    for name, shorts in found.items():
        yield from _by_device(name, shorts.values())


def _way(paths: FaultPaths, node: Node) -> list[Node]:
    """The points of a line from a node back to its source."""
    found, before = [node], paths.hot[node].before
    while before is not None:
        found.append(before)
        before = paths.hot[before].before
    return found


def _wires_home(paths: FaultPaths, node: Node) -> Iterator[tuple[Conductor, Node]]:
    """The conductors from a point of a return back to its source, each with its end on the side of the source."""
    while (step := paths.returns[node]).before is not None:
        if isinstance(step.back, Conductor):
            yield step.back, step.before
        node = step.before


def _by_device(name: str, shorts: Iterable[Short]) -> Iterator[ConductorFault]:
    behind: dict[str, list[Short]] = {}
    for short in shorts:
        behind.setdefault(_device(short), []).append(short)
    for device, each in behind.items():
        highest = max(each, key=lambda short: (short.highest.initial_a, short.node))
        lowest = min(each, key=lambda short: (short.lowest.initial_a, short.node))
        yield ConductorFault(name, device, highest, lowest)
