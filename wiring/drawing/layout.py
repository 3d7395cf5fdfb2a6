"""From a problem to blocks that fit a sheet: sides, columns, order, rows; what is too large is cut and done again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Set
from itertools import pairwise

from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.drawing.bands import Measure
from wiring.drawing.block import Block, block_of
from wiring.drawing.body import is_shield
from wiring.drawing.columns import Ranker, build_grid
from wiring.drawing.grid import Grid, Item
from wiring.drawing.order import put_in_order
from wiring.drawing.place import place
from wiring.drawing.problem import LEFT, RIGHT, End, Problem, Spot, between, components, interrupted, subset
from wiring.drawing.units import Form, Unit


class Layouter:
    """Lays out problems for an area of `width` x `height` mm."""

    def __init__(self, measure: Measure, width: float, height: float) -> None:
        self.measure, self.width, self.height = measure, width, height

    def node(self, end: End) -> Node:
        conductor = self.measure.names.conductors[end[0]]
        return conductor.a if end[1] == 0 else conductor.b

    def fixed(self, unit: Unit, lane: int, end: End) -> int | None:
        """The side that a terminal dictates, None where a wire may come from either."""
        if unit.form is Form.POINTS:
            shields = {each.right for each in unit.lanes if is_shield(each)}
            cable = self.measure.names.conductors[end[0]].cable
            if cable and (cable, ".shield") in shields:
                return RIGHT
            return LEFT if shields and len(unit.lanes) == 2 else None
        return LEFT if unit.lanes[lane].left == self.node(end) else RIGHT

    def fixed_sides(self, problem: Problem) -> dict[End, int | None]:
        units = {unit.id: unit for unit in problem.units}
        spots: list[tuple[Spot, End]] = [(stub.at, stub.end) for stub in problem.stubs]
        for join in problem.joins:
            spots += [(join.a, (join.wire, 0)), (join.b, (join.wire, 1))]
        return {end: self.fixed(units[spot[0]], spot[1], end) for spot, end in spots}

    def _balance(self, unit: Unit, problem: Problem, sides: dict[End, int | None]) -> int:
        """How many wires of a unit meet an opposite side, less those that meet the same side.

        Wires to units that can be turned themselves do not count: a chain of like devices is fed on one side.
        """
        score = 0
        free = {other.id for other in problem.units if other.flippable}
        for join in problem.joins:
            ends = {join.a[0], join.b[0]}
            if unit.id in ends and len(ends) == 2 and not (ends - {unit.id}) & free:
                one, two = sides[join.wire, 0], sides[join.wire, 1]
                if one is not None and two is not None:
                    score += 1 if one != two else -1
        return score

    def flip(self, problem: Problem) -> Problem:
        """Units with two ends turned round where more of their wires then run from left to right."""
        for n, unit in enumerate(problem.units):
            if not unit.flippable:
                continue
            turned = replace(problem, units=(*problem.units[:n], unit.flipped(), *problem.units[n + 1 :]))
            now = self._balance(unit, problem, self.fixed_sides(problem))
            if self._balance(unit, turned, self.fixed_sides(turned)) > now:
                problem = turned
        return problem

    def grid(self, problem: Problem) -> Grid | list[str]:
        """The ordered grid of a problem, or the wires to interrupt first."""
        ranker = Ranker(problem, self.fixed_sides(problem))
        backwards = ranker.to_interrupt()
        if backwards:
            return backwards
        grid = build_grid(problem, ranker)
        stubs = {stub.end for stub in problem.stubs}
        for items in grid.columns:
            for item in items:
                if item.unit is not None:
                    item.tail = self.measure.tail(item.unit)
                    item.head = max(item.head, self._ring_head(item, stubs))
        put_in_order(grid)
        for above, item in (pair for items in grid.columns for pair in pairwise(items)):
            if all(one.unit is not None and one.unit.form is Form.POINTS for one in (above, item)):
                item.head = 0  # the name of a point has room under the row of another
        place(grid)
        return grid

    def _ring_head(self, item: Item, stubs: Set[End]) -> int:
        """A row above a unit without a heading for the name of the cable at its uppermost ring."""
        return int(any(self.measure.band(item, side, stubs).rings for side in (LEFT, RIGHT)))

    def blocks(self, problem: Problem) -> list[Block]:
        """The blocks of a problem, each small enough for the area where it can be cut."""
        found: list[Block] = []
        for part in components(self.flip(problem)):
            grid = self.grid(part)
            if not isinstance(grid, Grid):
                found += self.blocks(interrupted(part, grid))
                continue
            block = block_of(part, grid, self.measure)
            if len(part.units) > 1 and (block.width > self.width or block.height > self.height):
                found += self._cut(part, block, grid)
            else:
                found.append(block)
        return found

    def _cut(self, problem: Problem, block: Block, grid: Grid) -> list[Block]:
        wide = block.width > self.width
        names = self._left_part(problem, block, grid) if wide else self._branch(problem, block)
        names = names or self._upper_part(problem, block)
        wires = between(problem, names)
        whole = interrupted(problem, wires)
        inside = [unit for unit in whole.units if unit.id in names]
        outside = [unit for unit in whole.units if unit.id not in names]
        return [*self.blocks(subset(whole, inside)), *self.blocks(subset(whole, outside))]

    def _branch(self, problem: Problem, block: Block) -> set[str] | None:
        """The highest branch at the unit of most wires that few wires hold, no lower than the block is too high."""
        counts = Counter(spot[0] for join in problem.joins for spot in (join.a, join.b))
        hub = max(counts, key=lambda name: (counts[name], name))
        joins = [join for join in problem.joins if hub not in (join.a[0], join.b[0])]
        rest = replace(problem, units=tuple(unit for unit in problem.units if unit.id != hub), joins=tuple(joins))
        reach = {unit.unit.id: (unit.top, unit.bottom) for unit in block.units}
        best: tuple[tuple[int, float], set[str]] | None = None
        for branch in components(rest):
            names = {unit.id for unit in branch.units}
            height = max(reach[name][1] for name in names) - min(reach[name][0] for name in names)
            rating = (len(between(problem, names)), -height)
            if height >= block.height - self.height and (best is None or rating < best[0]):
                best = (rating, names)
        return best[1] if best else None

    def _left_part(self, problem: Problem, block: Block, grid: Grid) -> set[str] | None:
        """The units left of the boundary that few wires cross and that leaves a part which fits."""
        xs = {unit.unit.id: unit.x + unit.width + unit.bands[1].width for unit in block.units}
        best: tuple[tuple[int, float], set[str]] | None = None
        names: set[str] = set()
        for column in range(len(grid.columns) - 1):
            names |= {item.unit.id for item in grid.columns[column] if item.unit is not None}
            reach = max(xs[name] for name in names)
            if reach > self.width and best is not None:
                break
            if reach < 0.4 * min(self.width, block.width) and column < len(grid.columns) - 2:
                continue
            rating = (len(between(problem, names)), -reach)
            if best is None or rating < best[0]:
                best = (rating, set(names))
        return best[1] if best else None

    def _upper_part(self, problem: Problem, block: Block) -> set[str]:
        """The upper units up to an even share of the height, where few wires are cut."""
        parts = max(2, -(-int(block.height) // int(self.height)))
        limit = block.height / parts
        ordered = sorted(block.units, key=lambda unit: ((unit.top + unit.bottom) / 2, unit.unit.id))
        best: tuple[tuple[float, int], set[str]] | None = None
        names: set[str] = set()
        for unit in ordered[:-1]:
            names.add(unit.unit.id)
            off = abs((unit.top + unit.bottom) / 2 - limit) / limit
            rating = (len(between(problem, names)) + 6.0 * off, len(names))
            if best is None or rating < best[0]:
                best = (rating, set(names))
        assert best is not None
        return best[1]
