"""The blocks of a distribution sheet: lines with what hangs on them, and by the common layout what cannot hang."""

from __future__ import annotations

from collections.abc import Callable, Set

from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.drawing.block import Block, block_of
from wiring.drawing.functions import DC, MAINS
from wiring.drawing.grid import Grid
from wiring.drawing.hang import rows_of
from wiring.drawing.hanging_columns import columns_of, unfit
from wiring.drawing.layout import Layouter
from wiring.drawing.problem import Problem, components
from wiring.drawing.rails import Distribution, distributions


def blocks_of(
    problem: Problem,
    function: str,
    layouter: Layouter,
    name: Callable[[Node], str],
    elsewhere: Set[str] = frozenset(),
) -> list[Block]:
    """The blocks of one function; `name` gives the name of the potential at a terminal.

    Units that stand `elsewhere` are left out where they feed lines alone.
    """
    return distributed(problem, layouter, name, elsewhere) if function in (MAINS, DC) else layouter.blocks(problem)


def distributed(problem: Problem, layouter: Layouter, name: Callable[[Node], str], elsewhere: Set[str]) -> list[Block]:
    """The blocks of a problem, with its potentials as lines across; `name` gives that of a terminal."""
    found: list[Block] = []
    for part in components(problem):
        rest: Problem | None = part
        while rest is not None and rest.units:
            made = _Attempt(layouter, name, elsewhere)
            chosen, left = distributions(rest, layouter.node, made.unfit)
            if chosen is None:
                alone = [one for one in components(left) if not {unit.id for unit in one.units} <= elsewhere]
                found += [block for one in alone for block in layouter.blocks(one)]
                break
            found += made.blocks
            rest = left
    return found


class _Attempt:
    """Tries to lay a distribution out; keeps its blocks once everything fits."""

    def __init__(self, layouter: Layouter, name: Callable[[Node], str], elsewhere: Set[str]) -> None:
        self.layouter, self.name, self.elsewhere = layouter, name, elsewhere
        self.blocks: list[Block] = []

    def unfit(self, made: Distribution) -> set[str]:
        """The units that cannot hang as they are ordered."""
        columns = columns_of(made)
        wrong = unfit(made, columns)
        if wrong:
            return wrong
        trunk, apart = self._trunk(made.trunk)
        rows = rows_of(made, columns, self.layouter.measure, self.name, trunk, self.layouter.width)
        if isinstance(rows, set):
            return rows
        tall = {unit.unit.id for row in rows for unit in row.hung if row.height > self.layouter.height}
        deepest = max((unit.bottom for row in rows for unit in row.hung if unit.unit.id in tall), default=0.0)
        if tall:
            return {u.unit.id for row in rows for u in row.hung if u.unit.id in tall and u.bottom == deepest}
        self.blocks = [*apart, *rows]
        return set()

    def _trunk(self, trunk: Problem) -> tuple[Block | None, list[Block]]:
        """The trunk as the start of its lines; what is too wide for that stands by itself, and the lines arrive."""
        if {unit.id for unit in trunk.units} <= self.elsewhere:
            return None, []
        grid = self.layouter.grid(trunk)
        block = block_of(trunk, grid, self.layouter.measure) if isinstance(grid, Grid) else None
        if block is not None and block.width <= self.layouter.width:
            return block, []
        closed = tuple(replace(stub, open=False) for stub in trunk.stubs)
        return None, self.layouter.blocks(replace(trunk, stubs=closed))
