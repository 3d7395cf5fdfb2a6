"""The short circuits that every conductor must bear, those that lead to a fault and those that lead back from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from wiring.circuit.model import Circuit, Conductor, Node
from wiring.design.fault.paths import FaultPaths
from wiring.design.fault.records import ConductorFault, Short
from wiring.effort import walk_on

#: What a wire home costs beside a point of a line, in steps of a walk.
_PER_WIRE = 3


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


Extremes = tuple[Short, Short]


def _homeward(paths: FaultPaths, to_return: Mapping[Node, Short]) -> Iterator[ConductorFault]:
    """A conductor of a return lies beside the line to the same loads: it bears what comes back from them, and where it
    begins at a part of that line, what the device lets through that stands in front of the line there."""
    back = {node: short for node, short in to_return.items() if short.against in paths.returns}
    loads = {node: short for node, short in back.items() if short.against[0] == node[0]}
    found: dict[str, dict[str, Extremes]] = {}
    for name, short in _own(paths, loads):
        _widen(found.setdefault(name, {}), short)
    for name, both in _beside(paths, loads, _along(paths, back)):
        _widen(found.setdefault(name, {}), *both)
    for name, by_device in found.items():
        for device, (highest, lowest) in by_device.items():
            yield ConductorFault(name, device, highest, lowest)


def _widen(by_device: dict[str, Extremes], *shorts: Short) -> None:
    """Count some short circuits in among the strongest and the weakest behind their devices."""
    for short in shorts:
        device = _device(short)
        highest, lowest = by_device.get(device, (short, short))
        if (short.highest.initial_a, short.node) > (highest.highest.initial_a, highest.node):
            highest = short
        if (short.lowest.initial_a, short.node) < (lowest.lowest.initial_a, lowest.node):
            lowest = short
        by_device[device] = highest, lowest


def _own(paths: FaultPaths, loads: Mapping[Node, Short]) -> Iterator[tuple[str, Short]]:
    """The conductors of returns, each with the strongest and the weakest short circuits that come back through it."""
    behind: dict[Node, dict[str, Extremes]] = {}
    for short in loads.values():
        _widen(behind.setdefault(short.against, {}), short)
    for node in reversed(list(paths.returns)):  # a walk comes to what is nearer to the source first
        step, some = paths.returns[node], behind.get(node, {})
        shorts = [short for both in some.values() for short in both]
        if step.before is not None and shorts:
            _widen(behind.setdefault(step.before, {}), *shorts)
        if isinstance(step.back, Conductor):
            yield from ((step.back.id, short) for short in shorts)


def _along(paths: FaultPaths, back: Mapping[Node, Short]) -> Mapping[Node, Extremes]:
    """The strongest and the weakest short circuit from each point of a line back as far as the next device."""
    found: dict[Node, Extremes] = {}
    for node, reached in paths.hot.items():
        some: dict[str, Extremes] = {}
        before = reached.before
        if before in found and paths.hot[before].devices == reached.devices:
            _widen(some, *found[before])
        if node in back:
            _widen(some, back[node])
        for both in some.values():
            found[node] = both
    return found


def _beside(
    paths: FaultPaths, loads: Mapping[Node, Short], along: Mapping[Node, Extremes]
) -> Iterator[tuple[str, Extremes]]:
    """The conductors of returns that begin at a part of the line of a load, each with what it may bear from there.

    A load on the line of another one asks for no more than that where their returns go on together.
    """
    depth: dict[Node, int] = {}
    for node, reached in paths.hot.items():
        depth[node] = 0 if reached.before is None else depth[reached.before] + 1
    ends: dict[Node, list[Node]] = {}
    for node, short in loads.items():
        ends.setdefault(short.against, []).append(node)
    known: set[Node] = set()
    for node in sorted(loads, key=lambda node: -depth[node]):
        if node in known:
            continue
        line = _way(paths, node)
        first: dict[str, int] = {}
        nearest: dict[tuple[str, ...], Node] = {}
        for n, point in enumerate(line):
            first.setdefault(point[0], n)
            nearest.setdefault(paths.hot[point].devices, point)
        home = list(_wires_home(paths, loads[node].against))
        walk_on(len(line) + _PER_WIRE * len(home))
        places = [first.get(start[0], len(line)) for _, start in home]
        for (wire, _), place in zip(home, places, strict=True):
            if place < len(line) and (beside := nearest[paths.hot[line[place]].devices]) in along:
                yield wire.id, along[beside]
        on_line, least = {point: n for n, point in enumerate(line)}, len(line)
        for (_, start), place in zip(reversed(home), reversed(places), strict=True):
            alike = (one for one in ends.get(start, ()) if paths.hot[one].devices == paths.hot[node].devices)
            known.update(one for one in alike if on_line.get(one, inf) <= least)
            least = min(least, place)


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
