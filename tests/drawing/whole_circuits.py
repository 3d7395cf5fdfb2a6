"""Parts that float and circuits torn over two sheets, found in the pictures of a set and the units it shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from tests.drawing.figures import interrupted
from tests.drawing.picture import Part, Picture
from wiring.circuit.model import Conductor
from wiring.disjoint_sets import joined
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import Box

#: Side of a cell of the sheet, and what is kept clear about everything that is drawn [mm].
_CELL, _CLEAR = 2.5, 1.25
_OF_SYMBOL = ("symbol", "words", "sibling", "contacts")
_OF_WIRE = ("wire", "label", "reference", "fan-out", "cable")


def floating(picture: Picture, pictures: Sequence[Picture], conductors: Sequence[Conductor]) -> list[str]:
    """Symbols of a sheet all of whose wires are interrupted, one of them with both ends on this very sheet."""
    places = interrupted(pictures)
    found = []
    for part in picture.of("symbol"):
        nodes = {pin.node for pin in part.pins}
        own = [c.id for c in conductors if any(f"{end[0]}:{end[1]}" in nodes for end in c.ends)]
        here = any(places.get(name) == [picture.number] * 2 for name in own)
        if here and all(name in places for name in own):
            found.append(part.id)
    return found


class _Cluster(Struct, frozen=True):
    """Symbols that drawn wires hold together, and the cells that they take with their wires and words."""

    symbols: frozenset[str]
    cells: frozenset[tuple[int, int]]


def _cells(part: Part) -> Iterator[tuple[int, int]]:
    boxes = [Box(min(s.x1, s.x2), min(s.y1, s.y2), max(s.x1, s.x2), max(s.y1, s.y2)) for s in part.ink]
    for box in [*boxes, *(words.box for words in part.words), *([part.body] if part.body else [])]:
        for x in range(int((box.x1 - _CLEAR) / _CELL), int((box.x2 + _CLEAR) / _CELL) + 1):
            for y in range(int((box.y1 - _CLEAR) / _CELL), int((box.y2 + _CLEAR) / _CELL) + 1):
                yield x, y


def _clusters(picture: Picture, conductors: Mapping[str, Conductor]) -> list[_Cluster]:
    symbols = {part.id: part for part in picture.of("symbol")}
    at = {pin.node: name for name, part in symbols.items() for pin in part.pins}
    cut = {part.id for part in picture.of("reference")}
    pairs = []
    for wire in {part.id for part in picture.of("wire")} - cut:
        ends = [at.get(f"{end[0]}:{end[1]}") for end in conductors[wire].ends]
        if ends[0] and ends[1]:
            pairs.append((ends[0], ends[1]))
    first = joined(symbols, pairs)
    taken: dict[str, set[tuple[int, int]]] = {name: set() for name in symbols}
    for part in picture.of(*_OF_SYMBOL, *_OF_WIRE):
        owner = part.id if part.kind in _OF_SYMBOL else _owner(part, conductors, at)
        if owner in taken:
            taken[first[owner]] |= set(_cells(part))
    groups = sorted(set(first.values()))
    return [_Cluster(frozenset(n for n in symbols if first[n] == group), frozenset(taken[group])) for group in groups]


def _owner(part: Part, conductors: Mapping[str, Conductor], at: Mapping[str, str]) -> str:
    names = [part.data.get("conductors", "").split(" ")[0], part.id]
    conductor = next((conductors[name] for name in names if name in conductors), None)
    ends = [part.data["node"]] if "node" in part.data else []
    ends += [f"{end[0]}:{end[1]}" for end in conductor.ends] if conductor else []
    return next((at[end] for end in ends if end in at), "")


def _fits(clusters: Sequence[_Cluster], picture: Picture, paper: Paper) -> bool:
    """Whether all clusters find room on a sheet, the largest first, uppermost and leftmost."""
    taken = {cell for part in picture.of(*_OF_SYMBOL, *_OF_WIRE, "potential", "finding") for cell in _cells(part)}
    area = paper.area
    last = (int(area.x2 / _CELL), int(area.y2 / _CELL))
    for cluster in sorted(clusters, key=lambda one: -len(one.cells)):
        left, top = min(x for x, _ in cluster.cells), min(y for _, y in cluster.cells)
        shape = [(x - left, y - top) for x, y in cluster.cells]
        wide, high = max(x for x, _ in shape), max(y for _, y in shape)
        for y in range(int(area.y1 / _CELL) + 1, last[1] - high):
            x = next(
                (
                    x
                    for x in range(int(area.x1 / _CELL) + 1, last[0] - wide)
                    if not any((x + dx, y + dy) in taken for dx, dy in shape)
                ),
                None,
            )
            if x is not None:
                taken |= {(x + dx, y + dy) for dx, dy in shape}
                break
        else:
            return False
    return True


def torn(
    pictures: Sequence[Picture], functions: Mapping[str, str], conductors: Mapping[str, Conductor], paper: Paper
) -> list[tuple[str, int, int]]:
    """Functions with a wire between two sheets, one of which has room for all that the other shows of it.

    `functions` is the function of every unit. Returns the function, the sheet that shows it and the one with room.
    """
    clusters = {picture.number: _clusters(picture, conductors) for picture in pictures}
    units = {picture.number: {part.id for part in picture.of("symbol")} for picture in pictures}
    wires = interrupted(pictures)
    found = []
    for one in pictures:
        for other in pictures:
            if one.number == other.number or not any(set(n) == {one.number, other.number} for n in wires.values()):
                continue
            for function in sorted({functions[name] for name in units[one.number] if name in functions}):
                if not any(functions.get(name) == function for name in units[other.number]):
                    continue
                own = [c for c in clusters[one.number] if any(functions.get(n) == function for n in c.symbols)]
                if _fits(own, other, paper):
                    found.append((function, one.number, other.number))
    return found
