"""Rows made better by exchanges: blocks change places as long as that shortens the wires, a fixed number of trials."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from msgspec import Struct
from msgspec.structs import replace

from wiring.cabinet.blocks import Block, Sort, run_width
from wiring.cabinet.records import Box, Style
from wiring.cabinet.rows import Packing, Row, bodies_in, extents, in_order, needed_height, row_width, spread
from wiring.cabinet.terminals import terminal_sides
from wiring.circuit.model import Circuit

#: Trials of one search: what a cabinet of 80 parts takes a second for.
TRIALS = 1500
#: What a hot part somewhere straight below one that heat harms weighs in mm of wire: more than an exchange saves.
_HOT_WEIGHT = 5000.0
#: A place that does not move with the rows: where cables enter, or the hinge of the door.
_ENTRY, _HINGE = "entry", "hinge"
#: An exchange: row and block, row and block; a block of None stands for the whole row, or for the end of the other.
_Move = tuple[int, int | None, int, int | None]


class _End(Struct, frozen=True):
    """An end of a conductor: a share of the width of a part, seen upwards or not; or a place that stays."""

    part: str
    share: float
    upwards: bool


def wire_ends(circuit: Circuit, packing: Packing) -> list[tuple[_End, _End]]:
    """Both ends of every conductor of which one is on the plate."""
    outlines = {body.name: body.outline for row in packing.rows for body in bodies_in(row)}
    sides = {name: terminal_sides(circuit.parts[name], outline) for name, outline in outlines.items()}
    bars = {name for line in packing.bars for name in line}

    def end(node: tuple[str, str], outer: bool) -> _End | None:
        part, terminal = node
        if part in sides:
            share, upwards = sides[part].get(terminal, (0.5, True))
            return _End(part, share, (not outer) if upwards is None else upwards)
        if part in bars:
            return _End(part, 0.5, True)
        at = circuit.parts[part].data.at if part in circuit.parts else ""
        places = {"door": _HINGE, "machine": _ENTRY, "outside": _ENTRY}
        return _End(places[at], 0.5, False) if at in places else None

    found = []
    for conductor in circuit.conductors:
        outer = conductor.cable is not None
        a, b = end(conductor.a, outer), end(conductor.b, outer)
        if a and b and (a.part in sides or b.part in sides):
            found.append((a, b))
    return found


class Search:
    """The length of all wires for any order of the rows, and the exchanges that lower it."""

    def __init__(self, box: Box, style: Style, circuit: Circuit, packing: Packing) -> None:
        self.box, self.style, self.packing = box, style, packing
        self.width = row_width(box, style)
        self.ends = wire_ends(circuit, packing)
        self.bars = _bar_places(box, packing)

    def cost(self, rows: Sequence[Row]) -> float | None:
        """Length of the wires along the ducts and what is broken, in mm; None where the rows do not fit."""
        if any(run_width(self.style, bodies_in(row)) > self.width * (1 - self.style.spare) + 1e-6 for row in rows):
            return None
        packing = replace(self.packing, rows=tuple(rows))
        if needed_height(self.style, packing) > self.box.plate_height + 1e-6:
            return None
        places, heights, broken = self._places(rows)
        return sum(self._length(one, two, places, heights) for one, two in self.ends) + broken * _HOT_WEIGHT

    def _places(self, rows: Sequence[Row]) -> tuple[dict[str, tuple[float, float, int]], list[float], int]:
        """Left edge, width and row of every part, the height of every duct, and hot parts below what they harm."""
        places: dict[str, tuple[float, float, int]] = {}
        heights = [0.0]
        broken = 0
        above: list[tuple[float, float]] = []
        for n, row in enumerate(rows):
            harmed = []
            for body, x in spread(self.style, self.width, row):
                places[body.name] = (x, body.outline.width, n)
                if body.hot:
                    broken += sum(left < x + body.outline.width and right > x for left, right in above)
                if body.sensitive:
                    harmed.append((x, x + body.outline.width))
            above += harmed
            heights.append(heights[-1] + sum(extents(self.style, row)) + self.style.duct_width)
        return places, heights, broken

    def _length(
        self, one: _End, two: _End, places: Mapping[str, tuple[float, float, int]], heights: list[float]
    ) -> float:
        x1, d1 = self._spot(one, places, len(heights) - 1)
        x2, d2 = self._spot(two, places, len(heights) - 1)
        if d1 == d2:
            return abs(x1 - x2)
        reach = 2 * self.style.edge + self.style.duct_width
        around = min(x1 + x2, 2 * self.width - x1 - x2) + reach
        return around + abs(heights[d1] - heights[d2])

    def _spot(self, end: _End, places: Mapping[str, tuple[float, float, int]], last: int) -> tuple[float, int]:
        """How far from the left, and in which duct from above, an end meets the ducts."""
        if end.part in places:
            x, width, row = places[end.part]
            return x + width * end.share, row + (not end.upwards)
        if end.part == _HINGE:
            return (0.0 if self.box.hinge == "left" else self.width), last // 2
        if end.part == _ENTRY:
            return self.width * _ENTRY_SHARE.get(self.box.entry, 0.5), 0 if self.box.entry == "top" else last
        return self.bars.get(end.part, 0.0), last

    def best(self, trials: int = TRIALS) -> tuple[Row, ...]:
        """The rows after exchanges, tried in a fixed order until none helps or the trials are used up."""
        rows = list(self.packing.rows)
        cost = self.cost(rows)
        assert cost is not None, "rows that fit are made better"
        better = True
        while better and trials > 0:
            better = False
            for move in list(_moves(rows)):
                other = self._moved(rows, move)
                found = self.cost(other) if other is not None and trials > 0 else None
                trials -= other is not None
                if other is not None and found is not None and found < cost - 1e-6:
                    rows, cost, better = other, found, True
        return tuple(rows)

    def _moved(self, rows: list[Row], move: _Move) -> list[Row] | None:
        """The rows after an exchange of two blocks, of two rows, or the move of one block; None where it may not be."""
        m, a, n, b = move
        if a is None and b is None:
            free = self.packing.mixed or _sorts(rows[m]) == _sorts(rows[n])
            field = Sort.FIELD in _sorts(rows[m]) | _sorts(rows[n])
            return _with(rows, {m: rows[n], n: rows[m]}) if free and not field else None
        if a is None or a >= len(rows[m]) or (b is not None and b >= len(rows[n])):
            return None
        one = rows[m][a]
        if b is None:
            takes = self.packing.mixed or {one.sort} == _sorts(rows[n]) - {Sort.FIELD}
            if len(rows[m]) == 1 or one.sort is Sort.FIELD or not takes:
                return None
            return _with(rows, {m: rows[m][:a] + rows[m][a + 1 :], n: in_order([*rows[n], one])})
        two = rows[n][b]
        if one.sort is not two.sort and (not self.packing.mixed or Sort.FIELD in (one.sort, two.sort)):
            return None
        if m == n:
            return _with(rows, {m: _put(_put(rows[m], a, two), b, one)})
        return _with(rows, {m: in_order(_put(rows[m], a, two)), n: in_order(_put(rows[n], b, one))})


def _moves(rows: Sequence[Row]) -> Iterator[_Move]:
    """Every exchange worth a trial: row and block of the one, row and block of the other."""
    for n, row in enumerate(rows):
        yield from ((n, a, n, b) for a, b in combinations(range(len(row)), 2))
    for m, n in combinations(range(len(rows)), 2):
        yield m, None, n, None
        yield from ((m, a, n, b) for a in range(len(rows[m])) for b in range(len(rows[n])))
        yield from ((m, a, n, None) for a in range(len(rows[m])))
        yield from ((n, b, m, None) for b in range(len(rows[n])))


_ENTRY_SHARE = {"left": 0.0, "right": 1.0}


def _sorts(row: Row) -> set[Sort]:
    return {block.sort for block in row}


def _with(rows: list[Row], changed: Mapping[int, Row]) -> list[Row]:
    return [changed.get(n, row) for n, row in enumerate(rows)]


def _put(row: Row, place: int, block: Block) -> Row:
    return (*row[:place], block, *row[place + 1 :])


def _bar_places(box: Box, packing: Packing) -> dict[str, float]:
    """Bars stand in the middle of the foot, as far as the search goes."""
    return {name: box.plate_width / 2 for line in packing.bars for name in line}
