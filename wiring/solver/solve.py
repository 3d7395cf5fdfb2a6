"""The operating point of a network: every galvanic island on its own, put together in the caller's order."""

from __future__ import annotations

from copy import copy

from msgspec import Struct, field

from wiring.solver.active import Operating, Search
from wiring.solver.answers import Answers
from wiring.solver.checks import check
from wiring.solver.grid import Grid, Linear
from wiring.solver.islands import Island, split
from wiring.solver.network import Network
from wiring.solver.pieces import Piece
from wiring.solver.solution import Outcome, PowerState, Solution


class Prepared(Struct):
    """Islands and matrices of a network, kept for others that differ in the values of sources and loads alone."""

    islands: tuple[Island, ...] | None = None
    grids: dict[int, Grid] = field(default_factory=dict)
    pieces: tuple[tuple[Piece, ...], ...] | None = None


def solve(network: Network, prepared: Prepared | None = None) -> Solution:
    """The operating point under load, coming from no load.

    A source that shuts down on overload is off in the answer (its restarts have no steady state) and is listed; a load
    below lock-out is off and listed. An island without operating point has None throughout; the others keep their
    answers, and the worst outcome is the solution's. Raises ValueError for a network without physical meaning.

    `prepared` only saves time: it must come from a network with the same nodes, branches, and ends of everything else.
    """
    phasors = check(network)
    kept = Prepared() if prepared is None else prepared
    if kept.islands is None:
        kept.islands = split(network)
    answer = _Answer(network, phasors, kept)
    for number, island in enumerate(kept.islands):
        answer.enter(number, island)
    return answer.finished()


class _Answer(Answers):
    """Takes the islands' results."""

    def __init__(self, network: Network, phasors: bool, prepared: Prepared) -> None:
        super().__init__(network, phasors)
        self.prepared = prepared

    def enter(self, number: int, island: Island) -> None:
        self.begin(number, island)
        if island.sources:
            self._operate(number, island)
        self.end(island)

    def _grid(self, number: int, island: Island) -> Grid:
        known = self.prepared.grids.get(number)
        if known is None or known.phasors is not self.phasors:
            known = self.prepared.grids[number] = Grid(self.network, island, self.phasors)
            return known
        grid = copy(known)
        grid.network = self.network
        self.prepared.grids[number] = grid
        return grid

    def _operate(self, number: int, island: Island) -> None:
        grid = self._grid(number, island)
        result = Search(grid).run()
        self.outcomes.append(result.outcome)
        self.overloaded.extend(result.overloaded)
        for index, mode in zip(island.sources, result.state.sources, strict=True):
            self.source_mode[index] = mode
        for index, locked in zip(island.powers, result.state.locked, strict=True):
            if locked:
                self.power_state[index] = PowerState.LOCKED_OUT
        self.locked_out.extend(result.locked_out)
        if result.linear is None:
            self._without_point(island, result)
        else:
            self.residual_a = max(self.residual_a, result.residual_a)
            self._take_volts(grid, result, result.linear)
            self._take_currents(grid, result, result.linear)

    def _without_point(self, island: Island, result: Operating) -> None:
        self.reasons.append(result.reason)
        if result.outcome is Outcome.COLLAPSED:
            self.collapsed.extend(index for index in island.powers if self.power_state[index] is PowerState.UNPOWERED)
        self.leave_open(island)

    def _take_volts(self, grid: Grid, result: Operating, linear: Linear) -> None:
        total = [volts + fine for volts, fine in zip(result.volts, result.fine, strict=True)]
        home = linear.roots[grid.ground]
        for node in grid.island.nodes:
            index = grid.unknown[node]
            self.potentials[node] = total[index]
            if linear.roots[index] != home:
                self.adrift.add(node)

    def _take_currents(self, grid: Grid, result: Operating, linear: Linear) -> None:
        island, volts, fine = grid.island, result.volts, result.fine
        for lines, indices, amps, sign in (
            (grid.branches, island.branches, self.branch_a, 1.0),
            (linear.sources, island.sources, self.source_a, -1.0),
            (linear.diodes, island.diodes, self.diode_a, 1.0),
            (linear.draws, island.currents, self.current_a, 1.0),
        ):
            if not lines:
                continue
            for (a, b, g, e, j), index in zip(lines, indices, strict=True):
                amps[index] = sign * (j + g * ((volts[a] - volts[b] - e) + (fine[a] - fine[b]))) + 0.0
        for load in result.loads:
            drawn = load.current(load.volts(volts) + load.volts(fine))
            if load.index >= 0:
                declared = (load.a, load.b) == grid.powers[load.index]
                self.power_a[island.powers[load.index]] = drawn if declared else -drawn
                self.power_state[island.powers[load.index]] = PowerState.RUNNING
            else:
                self.current_a[island.currents[-1 - load.index]] = drawn
