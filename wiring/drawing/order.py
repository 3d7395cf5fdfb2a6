"""Order in the columns: Graphviz proposes, neighbours change places as long as that removes crossings."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from wiring.drawing import engine
from wiring.drawing.grid import Grid, Item, Piece
from wiring.drawing.problem import LEFT, RIGHT, End
from wiring.drawing.units import Form

_SWEEPS = 8
Heights = dict[tuple[End, int], float]


def propose(grid: Grid) -> None:
    """Put the items of every column in the order that Graphviz finds."""
    if all(len(items) < 2 for items in grid.columns):
        return
    items = [item for column in grid.columns for item in column]
    number = {id(item): n for n, item in enumerate(items)}
    at: dict[tuple[int, End, int], tuple[int, int]] = {}
    for column, found in enumerate(grid.columns):
        for item in found:
            for row, lane in enumerate(item.lanes):
                for side in (LEFT, RIGHT):
                    for end in lane.ends[side]:
                        at[column, end, side] = (number[id(item)], row)
    edges = []
    for piece in grid.pieces:
        if piece.kind == "pass":
            left, right = (piece.a, piece.b) if piece.a[2] == RIGHT else (piece.b, piece.a)
            edges.append((at[left], at[right]))
    columns = [[number[id(item)] for item in column] for column in grid.columns]
    found_order = engine.order(columns, [len(item.lanes) for item in items], edges)
    grid.columns = [[items[n] for n in column] for column in found_order]


def _heights(column: Sequence[Item]) -> Heights:
    """The place of every wire end of a column, counted in rows from its top."""
    found: Heights = {}
    row = 0
    for item in column:
        row += item.head
        for lane in item.lanes:
            for side in (LEFT, RIGHT):
                for n, end in enumerate(lane.ends[side]):
                    found[end, side] = row + n
            row += lane.rows
        row += item.tail
    return found


def _pair_cost(one: tuple[float | None, ...], two: tuple[float | None, ...]) -> int:
    """Crossings of two pieces, each (left, right, second left, second right) with None where it has no such end."""
    left1, right1, left2, right2 = one[0], one[1], two[0], two[1]
    if left1 is not None and right1 is not None and left2 is not None and right2 is not None:
        return int((left1 - left2) * (right1 - right2) < 0)
    cost = 0
    for side in (0, 1):
        a, b, c, d = one[side], one[side + 2], two[side], two[side + 2]
        if a is not None and b is not None:
            low, high = min(a, b), max(a, b)
            inside = sum(1 for y in (c, d) if y is not None and low < y < high)
            cost += inside if d is None else inside % 2
        elif c is not None and d is not None and a is not None:
            cost += int(min(c, d) < a < max(c, d))
    return cost


def _spans(pieces: Sequence[Piece], left: Heights, right: Heights) -> list[tuple[float | None, ...]]:
    found: list[tuple[float | None, ...]] = []
    for piece in pieces:
        ys: list[float | None] = [None, None, None, None]
        for _, end, side in (piece.a, piece.b):
            place = 0 if side == RIGHT else 1
            value = (left if side == RIGHT else right)[end, side]
            ys[place if ys[place] is None else place + 2] = value
        found.append(tuple(ys))
    return found


class Untangler:
    """Swaps neighbours: items of a column, points of a bar, wire ends of a terminal."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.channels = grid.channels()
        self.heights = [_heights(column) for column in grid.columns]
        self.costs = [self.cost(n) for n in range(len(self.channels))]

    def cost(self, channel: int) -> int:
        pieces = self.channels[channel]
        if len(pieces) < 2:
            return 0
        left = self.heights[channel - 1] if channel else {}
        right = self.heights[channel] if channel < len(self.heights) else {}
        spans = _spans(pieces, left, right)
        return sum(_pair_cost(one, two) for one, two in combinations(spans, 2))

    def attempt(self, column: int, sequence: list[Item] | list[End] | list, n: int) -> bool:  # type: ignore[type-arg]
        """Exchange two neighbours of a sequence; take it back unless crossings become fewer."""
        before = self.costs[column] + self.costs[column + 1]
        if before == 0:
            return False
        old = self.heights[column]
        sequence[n], sequence[n + 1] = sequence[n + 1], sequence[n]
        self.heights[column] = _heights(self.grid.columns[column])
        after = (self.cost(column), self.cost(column + 1))
        if sum(after) < before:
            self.costs[column], self.costs[column + 1] = after
            return True
        sequence[n], sequence[n + 1] = sequence[n + 1], sequence[n]
        self.heights[column] = old
        return False

    def sweep(self, column: int) -> bool:
        items = self.grid.columns[column]
        better = False
        for n in range(len(items) - 1):
            better |= self.attempt(column, items, n)
        for item in items:
            if item.unit is not None and item.unit.form is Form.POINTS and item.unit.joined:
                for n in range(len(item.lanes) - 1):
                    better |= self.attempt(column, item.lanes, n)
            for lane in item.lanes:
                for side in (LEFT, RIGHT):
                    for n in range(len(lane.ends[side]) - 1):
                        better |= self.attempt(column, lane.ends[side], n)
        return better

    def run(self) -> None:
        """Sweep over all columns until nothing becomes better."""
        for _ in range(_SWEEPS):
            if not any([self.sweep(column) for column in range(len(self.grid.columns))]):
                return


def put_in_order(grid: Grid) -> None:
    """Order the items of every column, the points of every bar and the ends at every terminal."""
    propose(grid)
    Untangler(grid).run()
