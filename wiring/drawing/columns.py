"""Columns: from the ranks of Graphviz to items in columns, sides for open terminals, and slots for wires that pass."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from wiring.drawing import engine
from wiring.drawing.functions import BOND
from wiring.drawing.grid import Grid, Item, LaneRow, Piece
from wiring.drawing.problem import LEFT, RIGHT, End, Join, Problem, Spot
from wiring.drawing.units import Form, Unit

#: A wire that passes more columns than this is interrupted.
MOST_PASSED = 3
#: Rows above the first lane for the designation, and below the last, by form.
HEAD, HEAD_OPERATED = 2, 3


def head_of(unit: Unit) -> int:
    """Rows above the first lane of a unit."""
    if unit.form is Form.BOND:
        return 0
    return HEAD_OPERATED if unit.actuator and unit.form is Form.LANES else HEAD if unit.form is not Form.POINTS else 1


class Ranker:
    """Finds the column of every unit and the side of every end. `fixed` holds sides that the terminals dictate."""

    def __init__(self, problem: Problem, fixed: Mapping[End, int | None]) -> None:
        self.problem, self.fixed = problem, fixed
        self.index = {unit.id: n for n, unit in enumerate(problem.units)}
        self.column = self._columns()
        self.side = self._sides()

    def _columns(self) -> dict[str, int]:
        edges: list[tuple[int, int]] = []
        held = Counter(spot[0] for join in self.problem.joins for spot in (join.a, join.b))
        level: list[tuple[int, int]] = []
        for join in self.problem.joins:
            a, b = self.index[join.a[0]], self.index[join.b[0]]
            if a == b:
                continue
            one, two = self.fixed[join.wire, 0], self.fixed[join.wire, 1]
            if one is not None and one == two:
                level.append((a, b))
            elif one == LEFT or two == RIGHT or (one == two and self._hangs_on(join, held)):
                edges.append((b, a))
            else:
                edges.append((a, b))
        if not edges and not level:
            return dict.fromkeys(self.index, 0)
        found = engine.ranks(len(self.index), edges, level)
        return {name: found[n] for name, n in self.index.items()}

    def _hangs_on(self, join: Join, held: Mapping[str, int]) -> bool:
        """Whether the first end of a bonding wire stands behind the second, which is the bar."""
        return self.problem.units[0].sheet == BOND and held[join.b[0]] > held[join.a[0]]

    def _sides(self) -> dict[End, int]:
        side: dict[End, int] = {}
        for join in self.problem.joins:
            for n, (own, other) in enumerate(((join.a, join.b), (join.b, join.a))):
                fixed = self.fixed[join.wire, n]
                if fixed is None:
                    mine, far = self.column[own[0]], self.column[other[0]]
                    opposite = self.fixed[join.wire, 1 - n]
                    fixed = RIGHT if far > mine else LEFT if far < mine else RIGHT if opposite is None else opposite
                side[join.wire, n] = fixed
        for stub in self.problem.stubs:
            fixed = self.fixed[stub.end]
            side[stub.end] = stub.lean if fixed is None else fixed
        return side

    def channel(self, join: Join, n: int) -> int:
        """The channel into which an end of a wire leads."""
        spot = (join.a, join.b)[n]
        return self.column[spot[0]] + self.side[join.wire, n]

    def to_interrupt(self) -> list[str]:
        """The wires that run backwards or pass too many columns."""
        found = []
        for join in self.problem.joins:
            start, end = self.channel(join, 0), self.channel(join, 1)
            one, two = self.side[join.wire, 0], self.side[join.wire, 1]
            backwards = (one == RIGHT and two == LEFT and start > end) or (one == LEFT and two == RIGHT and end > start)
            if backwards or abs(start - end) > (MOST_PASSED if one != two else 1):
                found.append(join.wire)
        return found


def _items(problem: Problem, ranker: Ranker) -> tuple[list[list[Item]], dict[Spot, LaneRow]]:
    columns: list[list[Item]] = [[] for _ in range(max(ranker.column.values()) + 1)]
    lanes: dict[Spot, LaneRow] = {}
    for unit in problem.units:
        rows = [LaneRow(n) for n in range(len(unit.lanes))]
        lanes |= {(unit.id, n): row for n, row in enumerate(rows)}
        columns[ranker.column[unit.id]].append(Item(unit, rows, head_of(unit)))
    return columns, lanes


def _ordered_ends(problem: Problem) -> list[tuple[Spot, End]]:
    found = []
    for join in problem.joins:
        found += [(join.a, (join.wire, 0)), (join.b, (join.wire, 1))]
    return found + [(stub.at, stub.end) for stub in problem.stubs]


def build_grid(problem: Problem, ranker: Ranker) -> Grid:
    """Items in columns, with a slot in every column that a wire passes."""
    columns, lanes = _items(problem, ranker)
    for spot, end in _ordered_ends(problem):
        lanes[spot].ends[ranker.side[end]].append(end)
    pieces: list[Piece] = []
    for join in problem.joins:
        start, stop = ranker.channel(join, 0), ranker.channel(join, 1)
        first, last = (0, 1) if start <= stop else (1, 0)
        spots = (join.a, join.b)
        low, high = min(start, stop), max(start, stop)
        here = (ranker.column[spots[first][0]], (join.wire, first), ranker.side[join.wire, first])
        for column in range(low, high):
            slot = (join.wire, 2 + column)
            columns[column].append(Item(None, [LaneRow(0, ([slot], [slot]))]))
            pieces.append(Piece(join.wire, column, here, (column, slot, LEFT)))
            here = (column, slot, RIGHT)
        there = (ranker.column[spots[last][0]], (join.wire, last), ranker.side[join.wire, last])
        pieces.append(Piece(join.wire, high, here, there))
    return Grid(columns, pieces)
