"""The zones of a circuit: what no fault, contact or resistance parts is one node, and what leads nowhere is left out.

Which zones there are follows from the faults that are tried: a conductor that none of them breaks joins its ends. What
is left is far smaller than the circuit, and faults that act on the same zones are one case.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Conductor, Inner, Node
from wiring.control.fault_record import EARTH, Fault
from wiring.control.faults import earth_node
from wiring.control.script import Target
from wiring.disjoint_sets import DisjointSets
from wiring.parts.elements import Coil, Draw, Input, Link, Output, Pole, Rectifying, Resistance, Switch
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import Lowered

#: From here on a way of the mains limits a short circuit [ohm]: the electrode of a TT.
_LIMITING_OHM = 1.0
#: From here on it feeds nothing [ohm]: through the impedance of an IT supply of 690 V, U^2/4R is a watt, and the first
#: fault to earth closes no circuit (IEC 60364-1, 312.2.3; from memory).
_FEEDS_NOTHING_OHM = 1e5


class Path(Struct, frozen=True):
    """A conductor, contact, pole or link. `moved_by` is None for a path that always conducts; `limits` marks one that
    bounds or ends a short circuit: a fuse, a breaker, a series resistance."""

    id: str
    a: int
    b: int
    moved_by: Actuator | None = None
    closed_at_rest: bool = True
    limits: bool = False


class Zones(Struct, frozen=True):
    """`count` zones and the paths between them.

    `place` gives the zone of a node, and whether it is that one for certain: a dead end counts as the zone where it
    hangs, for certain when only conductors lead there. Nodes that nothing can tell apart from open air have none.
    `names` gives the path that an id now stands in: paths in series are one.
    """

    count: int
    paths: tuple[Path, ...]
    place: Mapping[Node, tuple[int, bool]]
    names: Mapping[str, str]
    mains: tuple[tuple[int, int], ...]


def _path(edge_id: str, a: int, b: int, source: object) -> Path:
    if isinstance(source, Inner):
        element = source.element
        if isinstance(element, Switch):
            return Path(edge_id, a, b, (source.part, element.actuator), element.closed_at_rest)
        return Path(edge_id, a, b, limits=isinstance(element, Pole | Link))
    return Path(edge_id, a, b)


def zones(lowered: Lowered, targets: Iterable[Target], faults: Iterable[Fault]) -> Zones:
    """The zones of a lowered circuit for a list of faults; targets, coils, loads and sources keep theirs."""
    tried = list(faults)
    breaks = {path for fault in tried for path in fault.opened}
    joined = DisjointSets(lowered.count)
    for edge in lowered.edges:
        if isinstance(edge.source, Conductor) and edge.id not in breaks:
            joined.join(edge.a, edge.b)
    root = [joined.find(node) for node in range(lowered.count)]
    index = {node: root[n] for node, n in lowered.index.items()}
    earth = earth_node(lowered.circuit)
    if earth is not None:
        index[EARTH] = index[earth]
    paths = [_path(edge.id, root[edge.a], root[edge.b], edge.source) for edge in lowered.edges]
    paths += [
        Path(f".mains{n}", root[way.a], root[way.b], limits=way.ohm.real >= _LIMITING_OHM)
        for n, way in enumerate(lowered.mains_branches)
        if way.ohm.real < _FEEDS_NOTHING_OHM
    ]
    held = _held(lowered, index, targets)
    sources = [(root[source.plus], root[source.minus]) for source in lowered.mains_sources]
    held |= {node for ends in sources for node in ends}
    touched = _touched(index, tried)
    kept, hung = _peeled([path for path in paths if path.a != path.b], held)
    kept, names = _in_series(kept, held | _inwards(hung, touched))
    return _numbered(kept, hung, held | touched, index, names, sources)


def _held(lowered: Lowered, index: Mapping[Node, int], targets: Iterable[Target]) -> set[int]:
    """The zones at which something is fed, feeds or is watched."""
    found: set[int] = set()
    for part in lowered.circuit.parts.values():
        for element in part.elements:
            if isinstance(element, Coil | Resistance | Draw | Input | Rectifying):
                found |= {index[part.name, element.a], index[part.name, element.b]}
            elif isinstance(element, Output):
                found |= {index[part.name, element.plus], index[part.name, element.minus]}
    for target in targets:
        found |= {index[probe.part, end] for probe in target.probes for end in (probe.a, probe.b)}
    return found


def _touched(index: Mapping[Node, int], faults: Sequence[Fault]) -> set[int]:
    return {index[node] for fault in faults if fault.bridge is not None for node in fault.bridge if node in index}


def _inwards(hung: Mapping[int, tuple[int, bool]], nodes: Iterable[int]) -> set[int]:
    return {_root(hung, node)[0] for node in nodes}


def _root(hung: Mapping[int, tuple[int, bool]], node: int) -> tuple[int, bool]:
    sure = True
    while node in hung:
        node, certain = hung[node]
        sure = sure and certain
    return node, sure


def _peeled(paths: list[Path], held: Collection[int]) -> tuple[list[Path], dict[int, tuple[int, bool]]]:
    """The paths without the dead ends, and for every node of a dead end the next one inwards."""
    at = _meeting(paths)
    hung: dict[int, tuple[int, bool]] = {}
    gone: set[int] = set()
    stack = sorted(node for node, near in at.items() if len(near) == 1 and node not in held)
    while stack:
        node = stack.pop()
        if len(at[node]) != 1:
            continue
        (n, path) = next(iter(at[node].items()))
        far = path.b if path.a == node else path.a
        hung[node] = (far, path.moved_by is None)
        gone.add(n)
        at[node].clear()
        del at[far][n]
        if len(at[far]) == 1 and far not in held:
            stack.append(far)
    return [path for n, path in enumerate(paths) if n not in gone], hung


def _meeting(paths: Sequence[Path]) -> dict[int, dict[int, Path]]:
    """The paths that meet at every node, by their number."""
    at: dict[int, dict[int, Path]] = {}
    for n, path in enumerate(paths):
        at.setdefault(path.a, {})[n] = path
        at.setdefault(path.b, {})[n] = path
    return at


def _in_series(paths: list[Path], held: Collection[int]) -> tuple[list[Path], dict[str, str]]:
    """The paths with those in series joined: at a node where two meet, nothing else does, and one of them has no
    contact. Opening either is opening the one; the id of the contact stands for both."""
    at, left, names = _meeting(paths), dict(enumerate(paths)), {path.id: path.id for path in paths}
    for node in sorted(at):
        if node in held or len(at[node]) != 2:
            continue
        (n, first), (m, second) = sorted(at[node].items())
        if second.moved_by is not None:
            (n, first), (m, second) = (m, second), (n, first)
        if second.moved_by is not None:
            continue
        near = first.b if first.a == node else first.a
        far = second.b if second.a == node else second.a
        joined = replace(first, a=near, b=far, limits=first.limits or second.limits)
        for number, end in ((n, near), (m, far)):
            del left[number], at[end][number]
        at[node].clear()
        names[second.id] = first.id
        if near != far:
            left[n] = joined
            at[near][n] = at[far][n] = joined
    known = {path.id for path in left.values()}
    return [left[n] for n in sorted(left)], _followed(names, known)


def _followed(names: Mapping[str, str], known: Collection[str]) -> dict[str, str]:
    found = {}
    for name in names:
        last = name
        while names[last] != last:
            last = names[last]
        if last in known:
            found[name] = last
    return found


def _numbered(
    paths: list[Path],
    hung: Mapping[int, tuple[int, bool]],
    held: Iterable[int],
    index: Mapping[Node, int],
    names: Mapping[str, str],
    sources: Sequence[tuple[int, int]],
) -> Zones:
    live = {end for path in paths for end in (path.a, path.b)} | {_root(hung, node)[0] for node in held}
    number = {node: n for n, node in enumerate(sorted(live))}
    place = {}
    for node, zone in index.items():
        inner, sure = _root(hung, zone)
        if inner in number:
            place[node] = number[inner], sure
    return Zones(
        len(number),
        tuple(replace(path, a=number[path.a], b=number[path.b]) for path in paths),
        place,
        names,
        tuple((number[plus], number[minus]) for plus, minus in sources),
    )
