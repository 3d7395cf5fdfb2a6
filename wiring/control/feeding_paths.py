"""Through what a load is fed at an operating point, and through what its current returns."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.circuit.model import Conductor, Inner
from wiring.parts.elements import Feed, Input, Output, Pole, Switch
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint
from wiring.walks import walk, way_to

_DEEPEST = 6


def feeding_path(point: OperatingPoint, part: str, terminals: Sequence[str]) -> tuple[str, ...]:
    """The contacts, poles, bridges and last conductor between a load and its source, the nearest to the load first.

    A supply on the way counts, and what feeds it follows.
    """
    found: list[str] = []
    for _ in range(_DEEPEST):
        step, source = _way(point, part, terminals)
        found += step
        feed = _input_of(point, source)
        if feed is None:
            break
        found.append(source)
        part, terminals = source, (feed.a,)
    return tuple(dict.fromkeys(found))


def _input_of(point: OperatingPoint, source: str) -> Input | None:
    part = point.lowered.circuit.parts.get(source)
    return next((e for e in part.elements if isinstance(e, Input)), None) if part is not None else None


def returning_path(point: OperatingPoint, part: str, terminal: str) -> tuple[str, ...]:
    """The same from the other end of a load to what its current returns to."""
    return tuple(dict.fromkeys(_way(point, part, (terminal,), back=True)[0]))


def whole_circuit(point: OperatingPoint, part: str, a: str, b: str) -> frozenset[str]:
    """Every conductor, contact and bridge from a load to its source and back, supplies on the way included."""
    found: set[str] = set()
    for _ in range(_DEEPEST):
        step, source = _way(point, part, (a,), every=True)
        found |= {*step, *_way(point, part, (b,), back=True, every=True)[0]}
        feed = _input_of(point, source)
        if feed is None:
            break
        part, a, b = source, feed.a, feed.b
    return frozenset(found)


def _way(
    point: OperatingPoint, part: str, terminals: Sequence[str], *, back: bool = False, every: bool = False
) -> tuple[list[str], str]:
    """The shortest closed way from a load to a source of its kind, and the part that the source belongs to; `back` to
    the return of one. Only what a person is told is named, or `every` piece.
    """
    lowered = point.lowered
    near: dict[int, list[tuple[str, int]]] = {}
    for edge in lowered.edges:
        if is_closed(edge, point.position.moved, point.position.opened, point.position.closed):
            label = edge.id if every or _told(edge.source) else ""
            near.setdefault(edge.a, []).append((label, edge.b))
            near.setdefault(edge.b, []).append((label, edge.a))
    sources = _returns(point, part) if back else _sources(point, part)
    starts = [lowered.index[part, terminal] for terminal in terminals]
    came = walk(starts, lambda node: near.get(node, ()), sources)
    end = next((node for node in came if node in sources), None)
    if end is None:
        return [], ""
    return [label for label in way_to(came, sources) if label], sources[end]


def _told(source: Conductor | Inner) -> bool:
    if isinstance(source, Conductor):
        return source.kind == "core"
    return (
        isinstance(source.element, Switch | Pole)
        or source.id != f"{source.part}:{source.element.a}-{source.element.b}"
        or ":" in source.part
    )


def _sources(point: OperatingPoint, load: str) -> dict[int, str]:
    index, circuit = point.lowered.index, point.lowered.circuit
    found = {
        index[part.name, element.plus]: part.name
        for part, element in circuit.elements(Output)
        if isinstance(element, Output) and part.name != load and element.name == "output"
    }
    for part, element in circuit.elements(Feed):
        if isinstance(element, Feed) and element.conductor not in ("N", "PE"):
            found[index[part.name, element.terminal]] = part.name
    return found


def _returns(point: OperatingPoint, load: str) -> dict[int, str]:
    index, circuit = point.lowered.index, point.lowered.circuit
    found = {
        index[part.name, element.minus]: part.name
        for part, element in circuit.elements(Output)
        if part.name != load and element.name == "output"
    }
    for part, element in circuit.elements(Feed):
        if element.conductor in ("N", "PE"):
            found[index[part.name, element.terminal]] = part.name
    return found
