"""Rows for every lane of a grid, so that as many wires as can be run straight."""

from __future__ import annotations

from wiring.drawing.grid import Grid, Item, LaneRow
from wiring.drawing.problem import LEFT, RIGHT, End
from wiring.drawing.rows import Wish, spread

_SWEEPS = 24
_BOTH = (LEFT, RIGHT)
_WEIGHT_END, _WEIGHT_SLOT = 1, 3
Key = tuple[int, End, int]


def _variables(items: list[Item]) -> list[list[LaneRow]]:
    """Lanes that move by themselves, and together those of a rigid item."""
    found: list[list[LaneRow]] = []
    for item in items:
        found += item.groups
    return found


def _steps(items: list[Item]) -> list[int]:
    """How many rows each variable must stand below the one before it."""
    steps: list[int] = []
    rest = 0
    for item in items:
        for n, group in enumerate(item.groups):
            steps.append(rest + (item.head if n == 0 else 0))
            rest = sum(lane.rows for lane in group)
        rest += item.tail
    return steps


class Placer:
    """Moves the lanes of one column after the other towards the rows of their neighbours."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.partners: dict[Key, list[tuple[Key, int]]] = {}
        for piece in grid.pieces:
            if piece.kind == "pass":
                slots = (piece.a[1][1] > 1) + (piece.b[1][1] > 1)
                weight = _WEIGHT_END + _WEIGHT_SLOT * slots
                self.partners.setdefault(piece.a, []).append((piece.b, weight))
                self.partners.setdefault(piece.b, []).append((piece.a, weight))
        self.variables = [_variables(items) for items in grid.columns]
        self.steps = [_steps(items) for items in grid.columns]
        self.row: dict[Key, int] = {}
        for column in range(len(grid.columns)):
            count = len(self.variables[column])
            self.put(column, spread([[]] * count, self.steps[column], [0] * count))

    def put(self, column: int, rows: list[int]) -> None:
        for group, row in zip(self.variables[column], rows, strict=True):
            for lane in group:
                lane.row = row
                for side in (LEFT, RIGHT):
                    for n, end in enumerate(lane.ends[side]):
                        self.row[column, end, side] = row + n
                row += lane.rows

    def wishes(self, column: int, group: list[LaneRow], sides: tuple[int, ...]) -> list[Wish]:
        found: list[Wish] = []
        offset = 0
        for lane in group:
            for side in sides:
                for n, end in enumerate(lane.ends[side]):
                    for partner, weight in self.partners.get((column, end, side), ()):
                        found.append((self.row[partner] - offset - n, weight))
            offset += lane.rows
        return found

    def settle(self, column: int, sides: tuple[int, ...]) -> None:
        wishes = [self.wishes(column, group, sides) for group in self.variables[column]]
        if any(wishes):
            now = [group[0].row for group in self.variables[column]]
            self.put(column, spread(wishes, self.steps[column], now))

    def straight(self) -> int:
        """The weight of all pieces that run straight."""
        found = 0
        for one, partners in self.partners.items():
            found += sum(weight for other, weight in partners if self.row[one] == self.row[other])
        return found

    def rows(self) -> list[list[int]]:
        return [[group[0].row for group in groups] for groups in self.variables]

    def draw_near(self, column: int) -> None:
        """Lanes that nothing pulls stand close to the next lane of their unit, not far above it."""
        rows = [group[0].row for group in self.variables[column]]
        owners = [item for item in self.grid.columns[column] for _ in item.groups]
        for n in range(len(rows) - 2, -1, -1):
            if owners[n] is owners[n + 1] and not self.wishes(column, self.variables[column][n], _BOTH):
                rows[n] = rows[n + 1] - self.steps[column][n + 1]
        self.put(column, rows)

    def run(self) -> None:
        """Sweep to and fro and keep what is straightest, then take out what is empty.

        Columns follow the column they were reached from, and both their neighbours, in turns: two columns that hold
        each other would not move otherwise.
        """
        count = len(self.grid.columns)
        best, kept = self.straight(), self.rows()
        for sweep in range(_SWEEPS if self.partners else 0):
            forth = sweep % 2 == 0
            sides = _BOTH if sweep % 4 > 1 else (LEFT,) if forth else (RIGHT,)
            for column in range(count) if forth else range(count - 1, -1, -1):
                self.settle(column, sides)
            if self.straight() > best:
                best, kept = self.straight(), self.rows()
        for column in range(count):
            self.put(column, kept[column])
            self.draw_near(column)
        close_up(self.grid)


def _taken(items: list[Item]) -> set[int]:
    """The rows that heads, wire ends and tails of a column stand on."""
    found: set[int] = set()
    for item in items:
        first, last = item.lanes[0], item.lanes[-1]
        found |= set(range(first.row - item.head, first.row))
        found |= set(range(last.row + last.rows, last.row + last.rows + item.tail))
        for lane in item.lanes:
            found |= set(range(lane.row, lane.row + lane.rows))
    return found


def close_up(grid: Grid) -> None:
    """Take out the rows on which nothing stands in any column, and begin at row 0."""
    taken = sorted(set().union(*(_taken(items) for items in grid.columns)))
    new = {row: n for n, row in enumerate(taken)}
    for items in grid.columns:
        for item in items:
            for lane in item.lanes:
                lane.row = new[lane.row]


def place(grid: Grid) -> None:
    """Give every lane its row, the uppermost head at row 0."""
    Placer(grid).run()
