"""What the voltages of an island contradict: modes that must change, and sources that must shut down."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, field

from wiring.solver.grid import Linear
from wiring.solver.network import Overload, Scalar, VoltageSource
from wiring.solver.solution import SourceMode
from wiring.solver.state import KNEE_V, LoadRegion, State, is_one_quadrant, limit_voltage

WRONG_WAY_A = 1e-9
CLOSE = 1e-9
MARGIN = 1e-6  # of the knee, against flutter


class Flip(Struct, frozen=True):
    """One element and the mode it goes to."""

    position: int
    mode: SourceMode | LoadRegion | bool

    def apply(self, state: State) -> None:
        if isinstance(self.mode, SourceMode):
            state.sources[self.position] = self.mode
        elif isinstance(self.mode, LoadRegion):
            state.draws[self.position] = self.mode
        else:
            state.diodes[self.position] = self.mode


class Contradictions(Struct):
    """`trips` and `limited` hold a source's position and the current it was asked for."""

    flips: list[Flip] = field(default_factory=list)
    trips: list[tuple[int, float]] = field(default_factory=list)
    limited: list[tuple[int, float]] = field(default_factory=list)


def judge(
    linear: Linear, state: State, volts: Sequence[Scalar], failed: bool = False, leap: bool = False
) -> Contradictions:
    """Compare every mode with the voltages.

    With `leap` a constant-current load goes straight from one end of its characteristic to the other, which is quick at
    the start; later it goes by way of the middle, so that what settles is a network of two-way switches. Voltages of a
    failed descent are only upper bounds, so a voltage that looks too high proves nothing there.
    """
    found = Contradictions()
    if linear.grid.phasors:
        return found
    for position in range(len(linear.sources)):
        _judge_source(linear, state, position, volts, failed, found)
    for position in range(len(linear.diodes)):
        _judge_diode(linear, state, position, volts, failed, found)
    if not failed:
        for position, line in enumerate(linear.draws):
            wanted = _draw((volts[line.a] - volts[line.b]).real, state.draws[position], leap)
            if wanted is not state.draws[position]:
                found.flips.append(Flip(position, wanted))
    return found


def _judge_diode(
    linear: Linear, state: State, position: int, volts: Sequence[Scalar], failed: bool, found: Contradictions
) -> None:
    line = linear.diodes[position]
    across = (volts[line.a] - volts[line.b]).real
    grid = linear.grid
    if state.diodes[position]:
        if not failed and line.current(across).real < -WRONG_WAY_A:
            found.flips.append(Flip(position, False))
    elif across > grid.network.diodes[grid.island.diodes[position]].drop_v + CLOSE:
        found.flips.append(Flip(position, True))


def _judge_source(
    linear: Linear, state: State, position: int, volts: Sequence[Scalar], failed: bool, found: Contradictions
) -> None:
    source = linear.grid.network.sources[linear.grid.island.sources[position]]
    mode = state.sources[position]
    if not is_one_quadrant(source) or mode is SourceMode.OFF:
        return
    line = linear.sources[position]
    across = (volts[line.a] - volts[line.b]).real
    setting = source.volts.real
    margin = CLOSE * max(1.0, setting)
    if mode is SourceMode.BLOCKED:
        if across < setting - margin:
            found.flips.append(Flip(position, SourceMode.CONSTANT_VOLTAGE))
    elif mode is SourceMode.CONSTANT_CURRENT:
        if not failed and across > limit_voltage(source) + margin:
            found.flips.append(Flip(position, SourceMode.CONSTANT_VOLTAGE))
    elif -line.current(across).real < -max(WRONG_WAY_A, 4e-15 * setting * line.g.real):
        if not failed:
            found.flips.append(Flip(position, SourceMode.BLOCKED))
    else:
        _judge_limit(source, position, -line.current(across).real, found)


def _judge_limit(source: VoltageSource, position: int, given: float, found: Contradictions) -> None:
    if source.limit_a is None or given <= source.limit_a * (1.0 + CLOSE):
        return
    if source.overload is Overload.CONSTANT_CURRENT:
        found.limited.append((position, given))
        found.flips.append(Flip(position, SourceMode.CONSTANT_CURRENT))
    else:
        found.trips.append((position, given))


def _draw(across: float, now: LoadRegion, leap: bool) -> LoadRegion:
    """The piece of the characteristic that holds this voltage."""
    if now is LoadRegion.FULL:
        return LoadRegion.FULL if across >= KNEE_V * (1.0 - MARGIN) else LoadRegion.STARVED
    if now is LoadRegion.REVERSED:
        return (
            LoadRegion.REVERSED
            if across <= CLOSE
            else (LoadRegion.FULL if leap and across > KNEE_V else LoadRegion.STARVED)
        )
    if across > KNEE_V * (1.0 + MARGIN):
        return LoadRegion.FULL
    return LoadRegion.REVERSED if across < -CLOSE else LoadRegion.STARVED
