"""Order in the columns: Graphviz proposes, neighbours change places as long as that removes crossings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations

from wiring.drawing import engine
from wiring.drawing.grid import Grid, Item, LaneRow
from wiring.drawing.problem import LEFT, RIGHT, End

_SWEEPS = 8
_WAY = 0.001
Span = tuple[float | None, float | None, float | None, float | None]


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


def _pair_cost(one: Span, two: Span) -> int:
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


def _way(span: Span) -> float:
    ys = [y for y in span if y is not None]
    return max(ys) - min(ys)


Key = tuple[int, End, int]


class Untangler:
    """Swaps neighbours: items of a column, points of a bar, wire ends of a terminal.

    A swap changes only how the wires of the two stand to each other, so only these are counted again.
    """

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.at: dict[Key, list[int]] = {}
        for n, piece in enumerate(grid.pieces):
            for key in (piece.a, piece.b):
                self.at.setdefault(key, []).append(n)
        self.height: dict[Key, float] = {}
        for column, items in enumerate(grid.columns):
            self._measure(column, items)

    def _measure(self, column: int, items: Sequence[Item]) -> None:
        """The place of every wire end of a column, counted in rows from its top."""
        row = 0
        for item in items:
            row += item.head
            for lane in item.lanes:
                for side in (LEFT, RIGHT):
                    for n, end in enumerate(lane.ends[side]):
                        self.height[column, end, side] = row + n
                row += lane.rows
            row += item.tail

    def span(self, n: int) -> Span:
        """Heights of a piece: (left, right, second left, second right), None where it has no such end."""
        piece = self.grid.pieces[n]
        a, b = self.height[piece.a], self.height[piece.b]
        if piece.a[2] == RIGHT:
            return (a, b, None, None) if piece.b[2] == LEFT else (a, None, b, None)
        return (b, a, None, None) if piece.b[2] == RIGHT else (None, a, None, b)

    def cost(self, pieces: Sequence[int]) -> float:
        """Crossings of these pieces with each other, and as a small addition their way up and down."""
        by_channel: dict[int, list[Span]] = {}
        for n in pieces:
            by_channel.setdefault(self.grid.pieces[n].channel, []).append(self.span(n))
        total = 0.0
        for spans in by_channel.values():
            total += sum(_pair_cost(one, two) for one, two in combinations(spans, 2))
            total += _WAY * sum(_way(span) for span in spans)
        return total

    @property
    def crossings(self) -> int:
        """Crossings of all pieces."""
        pieces = range(len(self.grid.pieces))
        way = _WAY * sum(_way(self.span(n)) for n in pieces)
        return round(self.cost(pieces) - way)

    def attempt(self, sequence: list, n: int, ends: Ends) -> bool:  # type: ignore[type-arg]
        """Exchange two neighbours of a sequence; take it back unless it becomes better."""
        one, two = ends(sequence[n]), ends(sequence[n + 1])
        pieces = sorted({piece for key in (*one[0], *two[0]) for piece in self.at.get(key, ())})
        if not pieces:
            return False
        before = self.cost(pieces)
        self._shift(one[0], two[1])
        self._shift(two[0], -one[1])
        if self.cost(pieces) < before - 1e-9:
            sequence[n], sequence[n + 1] = sequence[n + 1], sequence[n]
            return True
        self._shift(one[0], -two[1])
        self._shift(two[0], one[1])
        return False

    def _shift(self, keys: Sequence[Key], rows: float) -> None:
        for key in keys:
            self.height[key] += rows

    def sweep(self, column: int) -> bool:
        """Try every pair of neighbours of a column once."""
        items = self.grid.columns[column]

        def of_lane(lane: LaneRow) -> tuple[list[Key], int]:
            return [(column, end, side) for side in (LEFT, RIGHT) for end in lane.ends[side]], lane.rows

        def of_item(item: Item) -> tuple[list[Key], int]:
            found = [of_lane(lane) for lane in item.lanes]
            return [key for keys, _ in found for key in keys], item.head + item.tail + sum(rows for _, rows in found)

        better = False
        for n in range(len(items) - 1):
            better |= self.attempt(items, n, of_item)
        for item in items:
            if item.unit is not None and item.unit.joined and not item.unit.tapped:
                for n in range(len(item.lanes) - 1):
                    better |= self.attempt(item.lanes, n, of_lane)
            for lane in item.lanes:
                for side in (LEFT, RIGHT):
                    for n in range(len(lane.ends[side]) - 1):
                        better |= self.attempt(lane.ends[side], n, lambda end, side=side: ([(column, end, side)], 1))
        return better

    def run(self) -> None:
        """Sweep over all columns until nothing becomes better."""
        for _ in range(_SWEEPS):
            better = [self.sweep(column) for column in range(len(self.grid.columns))]
            if not any(better):
                return


Ends = Callable[..., tuple[list[Key], int]]


Order = list[list[tuple[Item, list[tuple[LaneRow, list[End], list[End]]]]]]


def from_hub(grid: Grid) -> None:
    """Order the items as one comes to them from the item of most wires, lane by lane."""
    owner = {
        (column, end, side): item
        for column, items in enumerate(grid.columns)
        for item in items
        for lane in item.lanes
        for side in (LEFT, RIGHT)
        for end in lane.ends[side]
    }
    far: dict[Key, list[Item]] = {}
    for piece in grid.pieces:
        far.setdefault(piece.a, []).append(owner[piece.b])
        far.setdefault(piece.b, []).append(owner[piece.a])
    leads = {id(item): [one for key, own in owner.items() if own is item for one in far.get(key, ())]
             for items in grid.columns for item in items}  # fmt: skip
    items = [item for column in grid.columns for item in column]
    place: dict[int, int] = {}
    queue = sorted(items, key=lambda item: len(leads[id(item)]))
    while queue:
        item = queue.pop()
        if id(item) not in place:
            place[id(item)] = len(place)
            queue += reversed(leads[id(item)])
    for column in grid.columns:
        column.sort(key=lambda item: place[id(item)])


def put_in_order(grid: Grid) -> None:
    """Order the items of every column, the points of every bar and the ends at every terminal.

    Untangles the order of the names, that from the item of most wires and the one that Graphviz proposes, and keeps the
    best.
    """
    natural = _order(grid)
    best: tuple[float, Order] | None = None
    for start in (None, from_hub, propose):
        _restore(grid, natural)
        if start is not None:
            start(grid)
        found = Untangler(grid)
        found.run()
        cost = found.cost(range(len(grid.pieces)))
        if best is None or cost < best[0] - 1e-9:
            best = (cost, _order(grid))
        if found.crossings == 0:
            break
    assert best is not None
    _restore(grid, best[1])


def _order(grid: Grid) -> Order:
    return [
        [(item, [(lane, list(lane.ends[LEFT]), list(lane.ends[RIGHT])) for lane in item.lanes]) for item in column]
        for column in grid.columns
    ]


def _restore(grid: Grid, order: Order) -> None:
    grid.columns = [[item for item, _ in column] for column in order]
    for item, lanes in (each for column in order for each in column):
        item.lanes[:] = [lane for lane, _, _ in lanes]
        for lane, left, right in lanes:
            lane.ends[LEFT][:], lane.ends[RIGHT][:] = left, right
