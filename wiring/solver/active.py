"""Which mode every source, diode and load of an island is in: flip what contradicts itself until nothing does.

All that is wrong flips at once; when a combination of modes comes back, from then on only the first of them flips,
which ends for networks of rising characteristics (K. G. Murty, "Note on a Bard-type scheme for solving the
complementarity problem", Opsearch 11 (1974); from memory). Sources that shut down and loads below lock-out stay off, so
they are judged only where nothing else is left to flip.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from wiring.solver.grid import Grid, Linear
from wiring.solver.judge import CLOSE, Flip, judge
from wiring.solver.ldl import NotPositive
from wiring.solver.loads import Load, Settled, Settling, excess, lagging, settle, turned
from wiring.solver.network import PowerLoad, Scalar
from wiring.solver.solution import LockedOut, Outcome, Overloaded, SourceMode
from wiring.solver.state import State

LIVE_V = 1e-6  # below this across it, a load has no supply
RESIDUAL_A = 1e-9
REFINEMENTS = 8


class Operating(Struct):
    """An island at rest, or why it is not. `volts` and `fine` add up to the voltages."""

    outcome: Outcome
    reason: str
    linear: Linear | None
    state: State
    loads: list[Load]
    volts: list[Scalar]
    fine: list[Scalar]
    residual_a: float
    overloaded: list[Overloaded]
    locked_out: list[LockedOut]


class Search:
    """The run of the active set on one island."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.state = State.initial(grid.island)
        self.overloaded: list[Overloaded] = []
        self.locked_out: list[LockedOut] = []
        self.demands: dict[int, float] = {}
        self.relieved: set[int] = set()
        self.linear: Linear | None = None

    def run(self) -> Operating:
        island = self.grid.island
        switchable = len(island.sources) + len(island.diodes) + len(island.currents) + len(island.powers)
        try:
            return self._iterate(40 + 6 * switchable)
        except NotPositive as failure:
            node = next(node for node, index in self.grid.unknown.items() if index == failure.node)
            return self._failed(Outcome.UNDECIDED, f"resistances at node {node} differ by more than can be computed")

    def _iterate(self, rounds: int) -> Operating:
        seen: set[tuple[object, ...]] = set()
        careful, unloaded = False, True
        for _ in range(rounds):
            careful = careful or (unloaded, self.state.key()) in seen
            seen.add((unloaded, self.state.key()))
            linear = self._linear()
            start = self._without_load(linear)
            if unloaded:
                found = judge(linear, self.state, start, leap=not careful)
                self.demands.update(found.limited)
                if found.flips:
                    self._flip(found.flips, careful)
                    continue
                unloaded, seen, careful = False, set(), False
            loads = self._running(linear, start)
            settled = settle(linear, loads, start)
            if not self._change(linear, loads, start, settled, careful):
                return self._finish(linear, loads, start, settled)
        return self._failed(Outcome.UNDECIDED, "sources, diodes and loads keep changing state")

    def _linear(self) -> Linear:
        """The linear network of the present modes; locking a load out does not change it."""
        if self.linear is None or self.linear.modes != self.state.modes():
            self.linear = self.grid.linear(self.state)
        return self.linear

    def _without_load(self, linear: Linear) -> list[Scalar]:
        free = self.grid.linear(self.state.unlimited()) if self.state.is_limiting() else linear
        return free.volts(free.right)

    def _running(self, linear: Linear, start: Sequence[Scalar]) -> list[Load]:
        network, island, phasors = self.grid.network, self.grid.island, self.grid.phasors
        loads: list[Load] = []
        for position, (index, ends) in enumerate(zip(island.powers, self.grid.powers, strict=True)):
            power = network.powers[index]
            if self.state.locked[position] or not linear.joined(ends):
                continue
            across = start[ends[0]] - start[ends[1]]
            if self._runs(power, across):
                way = ends if phasors or across.real > 0.0 else ends[::-1]
                loads.append(Load(position, way, turned(power.watts, power.power_factor, phasors)))
        if phasors:
            for position, (index, ends) in enumerate(zip(island.currents, self.grid.currents, strict=True)):
                current = network.currents[index]
                if current.amps and linear.joined(ends) and abs(start[ends[0]] - start[ends[1]]) > LIVE_V:
                    drawn = lagging(current.amps, current.power_factor)
                    loads.append(Load(-1 - position, ends, 0.0, drawn))
        return loads

    def _change(
        self, linear: Linear, loads: Sequence[Load], start: Sequence[Scalar], settled: Settled, careful: bool
    ) -> bool:
        """Flip, trip or lock out whatever the settled voltages contradict; False when nothing does."""
        failed = settled.how is not Settling.FOUND
        found = judge(linear, self.state, self._fallen(loads, start, settled), failed)
        self.demands.update(found.limited)
        if found.flips:
            self._flip(found.flips, careful)
            return True
        if settled.how is Settling.UNKNOWN:
            return False
        if found.trips:
            for position, demand in found.trips:
                self.state.sources[position] = SourceMode.OFF
                self.overloaded.append(Overloaded(self.grid.island.sources[position], demand))
            return True
        return self._lock(loads, start, settled)

    def _fallen(self, loads: Sequence[Load], start: Sequence[Scalar], settled: Settled) -> Sequence[Scalar]:
        """The settled voltages; of a descent without end, those at which the first load locks out on the way down.

        What would change its mode below them, such as a free-wheeling diode, never gets there.
        """
        if settled.how is Settling.FOUND or self.grid.phasors:
            return settled.volts
        share = 1.0
        for load in loads:
            limit = self._lockout(load)
            before, after = load.volts(start).real, load.volts(settled.volts).real
            if limit and after < limit <= before:
                share = min(share, (before - limit) / (before - after))
        return [high + share * (low - high) for high, low in zip(start, settled.volts, strict=True)]

    def _flip(self, flips: Sequence[Flip], careful: bool) -> None:
        for flip in flips[:1] if careful else flips:
            flip.apply(self.state)

    def _lock(self, loads: Sequence[Load], start: Sequence[Scalar], settled: Settled) -> bool:
        """Take off the loads whose lock-out a falling voltage reaches first."""
        steady = settled.how is Settling.FOUND
        below: list[tuple[float, Load, Scalar]] = []
        for load in loads:
            if load.index < 0:
                continue
            limit = self._lockout(load)
            now = load.volts(settled.volts)
            size = abs(now) if self.grid.phasors else now.real
            if limit and size < limit * (1.0 - CLOSE):
                below.append((limit / abs(load.volts(start)), load, now))
        if not below:
            return False
        self.relieved.update(
            position for position, mode in enumerate(self.state.sources) if mode is SourceMode.CONSTANT_CURRENT
        )
        first = max(reach for reach, _, _ in below)
        for reach, load, now in below:
            if reach >= first * (1.0 - 1e-6):
                self.state.locked[load.index] = True
                index = self.grid.island.powers[load.index]
                self.locked_out.append(LockedOut(index, abs(now) if steady else None))
        return True

    def _lockout(self, load: Load) -> float:
        return self.grid.network.powers[self.grid.island.powers[load.index]].lockout_v

    def _finish(self, linear: Linear, loads: list[Load], start: list[Scalar], settled: Settled) -> Operating:
        if settled.how is Settling.NONE:
            return self._failed(Outcome.COLLAPSED, "the supply cannot carry this: no operating point exists")
        if settled.how is Settling.UNKNOWN:
            return self._failed(Outcome.UNDECIDED, settled.reason or "the iteration did not settle")
        stranded = self._stranded(linear, settled.volts)
        if stranded is not None:
            reason = f"power load {stranded} shares its supply in series with other loads and nothing else"
            return self._failed(Outcome.UNDECIDED, reason)
        fine, residual = self._refine(linear, loads, settled)
        if not residual <= RESIDUAL_A:
            return self._failed(Outcome.UNDECIDED, f"currents balance only to {residual:.1e} A")
        self._note_idle(loads, settled.volts)
        self._note_relieved()
        outcome = Outcome.SOLVED
        if self.overloaded:
            outcome = Outcome.OVERLOADED
        elif self.locked_out:
            outcome = Outcome.LOCKED_OUT
        return Operating(
            outcome, "", linear, self.state, loads, settled.volts, fine, residual, self.overloaded, self.locked_out
        )

    def _stranded(self, linear: Linear, volts: Sequence[Scalar]) -> int | None:
        """A load that would run, but whose current has no path except through other loads."""
        if not linear.pins:
            return None
        for position, (index, ends) in enumerate(zip(self.grid.island.powers, self.grid.powers, strict=True)):
            load = self.grid.network.powers[index]
            across = volts[ends[0]] - volts[ends[1]]
            joined = linear.joined(ends) or self.state.locked[position] or not load.watts
            if not joined and self._runs(load, across):
                return index
        return None

    def _note_idle(self, loads: Sequence[Load], volts: Sequence[Scalar]) -> None:
        """Loads that never started because even without load their voltage is below lock-out."""
        running = {load.index for load in loads}
        for position, (index, ends) in enumerate(zip(self.grid.island.powers, self.grid.powers, strict=True)):
            across = abs(volts[ends[0]] - volts[ends[1]])
            if position not in running and not self.state.locked[position] and across > LIVE_V:
                self.locked_out.append(LockedOut(index, across))
                self.state.locked[position] = True

    def _note_relieved(self) -> None:
        """Sources that reached their limit until loads fell below lock-out: overloaded all the same."""
        for position in sorted(self.relieved):
            if self.state.sources[position] is not SourceMode.CONSTANT_CURRENT:
                index = self.grid.island.sources[position]
                self.overloaded.append(Overloaded(index, self.demands[position]))

    def _refine(self, linear: Linear, loads: Sequence[Load], settled: Settled) -> tuple[list[Scalar], float]:
        """Corrections too small for the voltages' own digits, until the currents balance."""
        fine: list[Scalar] = [0.0] * len(settled.volts)
        best, residual = fine, float("inf")
        for _ in range(REFINEMENTS):
            gap = excess(linear, loads, settled.volts, fine)
            size = max([abs(value) for value in gap[:-1]], default=0.0)  # the last balance follows from all others
            if size >= 0.5 * residual:
                break
            best, residual = fine, size
            step = settled.solver.solve(gap)
            fine = [value - change for value, change in zip(fine, step, strict=True)]
        return best, residual

    def _failed(self, outcome: Outcome, reason: str) -> Operating:
        return Operating(outcome, reason, None, self.state, [], [], [], 0.0, self.overloaded, self.locked_out)

    def _runs(self, load: PowerLoad, across: Scalar) -> bool:
        size = abs(across) if self.grid.phasors or load.either_way else across.real
        return size > LIVE_V and size >= load.lockout_v
